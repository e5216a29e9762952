"""The page on comfort, private to this room."""
