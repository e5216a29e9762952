"""Numerics alone: rates, lines, chains and mixtures of plain numbers; none reads a logbook.

Gets arrays and counts; answers with an `estimate.Estimate`, or with a record of its own, and every
interval is of the one level of `constants`.

Rates: `beta_binomial` and `gamma_poisson` (pooled), `exact_intervals`, `kaplan_meier`. Lines:
`trend_line`, `error_process`, `step_or_line`, `rank_trend`, `bennet_split`. Scores and votes:
`score_model`, `proportional_odds`, `warmth_probit`. Amounts: `log_need`, `nested_normal`. Choices:
`zero_one`, `connected`. Nights in a row: `ar1_chain`. Small parts: `arrays`, `quantile`, `quiet`.
"""
