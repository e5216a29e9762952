"""What broke, how often that is, and how long things last.

Gets failures and nights; answers with rates per 100 nights and lives, with their intervals.
"""
