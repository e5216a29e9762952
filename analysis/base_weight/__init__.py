"""Is base weight falling, or did only the season change?

Gets what trips weighed and how cold they were; answers with a trend at equal cold, where a change
came from, and when a goal is reached.

`trip_weights` has the trips, `trip_design` what a fit takes from each, `like_for_like` the trend at
equal cold, `trends` all series, `headline` what may be said of one. `kit_change` compares first and
now, `season_change` two seasons, whose difference `change_parts` splits into its causes, `target`
looks ahead. `page` is the report, `outputs` has its tables.
"""
