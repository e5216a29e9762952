"""The page of one trip, private to this room."""
