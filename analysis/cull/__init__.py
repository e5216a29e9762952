"""What to leave at home, and what more would cost.

Gets the verdicts of `usage`; answers with the set of least expected regret, its frontier, and how
sure it is.
"""
