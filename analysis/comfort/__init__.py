"""What did a point of comfort weigh?

Gets the scores of days and what was along; answers with the gain of every bundle, its interval, and
what a next trip would teach.
"""
