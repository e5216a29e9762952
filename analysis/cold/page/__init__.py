"""The page of nights in context, private to this room."""
