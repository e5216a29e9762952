"""How often is each thing used, and may it be advised against?

Gets what came along and what of it was used; answers with a rate, its interval and a verdict an
item, within rules written down before.

`items` counts and pools, `conditions` and `cold_odds` say how likely the weather is that a thing is
meant for, `costs` what going without it costs. `keep_rules` (with `guard_words`: what means safety
by its name) and `trip_range` hold what must never be advised against, `leaving` asks them for every
page, `missing_odds` says how often what stays at home would be wanted, `verdicts` judges,
`standing` says what stays on the list as of today. `verdict_words` and `held_words` tell it,
`outputs` is its table.
"""
