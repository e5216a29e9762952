"""What a person opens: the notebooks, the runner that executes them, the command line."""
