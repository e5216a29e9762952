"""Is new gear worth buying?

Gets the candidates and what the other rooms say of nights, failures, effort, comfort and what could
stay at home; answers with a case for each: a verdict, the reasons for and against it, and what
would change it.

`evidence` is what all cases share, `cases` makes them, `results` are their records, `verdict` the
rules. `nights`, `replay`, `sleep_score` and `year` go through cold nights again; `losses` says what
would be lost. `words` and `cautions` tell it, `page` is the report, `outputs` has its table.
"""
