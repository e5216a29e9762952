"""The store, opened for reading: its views, its rows, the scope of trips a question looks at."""
