"""The page on buying, private to this room."""
