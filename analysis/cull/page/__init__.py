"""The page of a season, private to this room."""
