"""The page of a trip to come, private to this room."""
