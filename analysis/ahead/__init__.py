"""What a coming trip takes: what to pack, how much of it, how cold, and what may be forgotten.

It gets a plan (or any trip, asked as on the day it began) and all trips over before its start, and
answers with amounts of what is eaten, burnt or charged, each with an interval; with things that
like trips had along and the list lacks; and with the chance of a too cold night in each sleep set
owned.

`likeness` says which trips are like it, `results` are the records of all answers.
"""
