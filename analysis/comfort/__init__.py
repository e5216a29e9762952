"""What did a point of comfort weigh?

Gets the scores of days and what was along; answers with the gain of every bundle, its interval, and
what a next trip would teach.

`things` says what is carried for comfort, `days` and `ease` what each scored day was like,
`shared_ease` how far comforts come along together; `bounds` what is too much at once; `gain` is
the answer, `ranks` its check with scores as ranks, `next_swap` what to try next. `words` tells it,
`page` is the report, `outputs` has its tables.
"""
