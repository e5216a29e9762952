"""What a coming trip takes: what to pack, how much of it, how cold, and what may be forgotten.

It gets a plan (or any trip, asked as on the day it began) and all trips over before its start. It
answers with amounts of what is eaten, burnt or charged, each with an interval; with things that
like trips had along and the list lacks; and with the chance of a too cold night in each sleep set
owned.

`plan` is the trip ahead, `likeness` the trips like it, `unlike` how it lies outside of all before;
`needs` (what was `used` before, what `cans` weigh) and `energy` (by what is `moved`, with what
batteries are `uncounted`) are the amounts, `needs_words` what to know of them. `forgotten` is what
may be missing (`asked` has what bears on it), by what came `along` before or was `wished` for and
without what `stays_home`, by `lifelines`, which no list is to lack, by what likely weather makes
`called_for`, and by `warm_things`, the warmest clothing; `missing_words` has its reasons, `regret`
how likely it is needed. `packing` is the
list, `unlisted` what is owned and on no list, `weather` what decides on it; `before_trip` has all
of it together, `after` sets it beside a trip that is over, and `scores` counts how it held over all
of them, told by `kept_words`.
`results` has what they hand on, `outputs` the tables, `page` tells it.
"""
