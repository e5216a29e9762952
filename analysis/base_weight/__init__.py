"""Is base weight falling, or did only the season change?

Gets what trips weighed and how cold they were; answers with a trend at equal cold, where a change
came from, and when a goal is reached.
"""
