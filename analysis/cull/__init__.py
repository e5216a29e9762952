"""What to leave at home, and what more would cost.

Gets the verdicts of `usage`; answers with the set of least expected regret, its frontier, and how
sure it is.

`problem` says what may be left and what binds it together, `culling` puts the question and answers
it by `stats.zero_one`, `results` are the records of an answer. `page` is the report of a season,
`outputs` has the tables cull and cull_frontier.
"""
