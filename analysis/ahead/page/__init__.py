"""The pages of a trip to come, for the notebooks alone."""
