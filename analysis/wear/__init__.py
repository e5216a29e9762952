"""What broke, how often that is, and how long things last.

Gets failures, nights and what waits to be mended; answers with rates per 100 nights and lives, with
their intervals.
"""
