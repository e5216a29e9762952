"""The page of the weigh-up, private to this room."""
