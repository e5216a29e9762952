"""The page on base weight over time, private to this room."""
