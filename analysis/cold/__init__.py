"""Will I be cold: one's own limit in each sleep set, and the chance of a too cold night.

Gets warmth votes, ratings and lows, and from `climate` the outlook; answers with a limit in degrees
and a chance, for nights that were and trips to come.
"""
