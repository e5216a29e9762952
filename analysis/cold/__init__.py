"""Will I be cold: one's own limit in each sleep set, and the chance of a too cold night.

Gets warmth votes, ratings and lows, and from `climate` the outlook; answers with a limit in degrees
and a chance, for nights that were and trips to come.

`ratings` brings ratings to one scale, `model` learns from votes, `votes` asks whether they stand
mostly on bad nights, `limit` has a limit for every sleep set
(`mild`: going by its rating where nights were too mild to tell), `chance` that of a too cold night,
`sets` what is owned or lacking, `unrated` the nights in what has no rating, `kinds` what of it lies
below or goes over, `camps` whether they are colder than the normals, `trips` the one answer for a
trip. `words` (with `unrated_words`, `note_words` of what is assumed, `mild_words`, and
`limit_words` where no chance is known), `sections`, `page_tables` and `chart` tell it, `page` is
the report of nights in context, `outputs` has its tables.
"""
