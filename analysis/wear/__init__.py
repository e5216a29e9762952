"""What broke, how often that is, and how long things last.

Gets failures, nights and what waits to be mended; answers with rates per 100 nights and lives, with
their intervals.

`rates` pools failures within a system, `failures` gathers rates and lives into one book, `checks`
knows when gear was looked over, `upkeep` what is to be done for things before they go along again,
`chores` what such a thing to do is and how its lists are told, `unmended` what failed of which no
repair is noted.
`words` and `sections` tell it, `outputs` has its tables.
"""
