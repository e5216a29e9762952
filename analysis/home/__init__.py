"""What has this logbook come to: its totals, its trips, the next plan, what there is to do.

Gets the whole store; answers with the facts of the logbook's first page, which `notebooks` puts
together with links to all reports.

`first_page` gathers it. `logbook` has the trips and totals, `next_plan` the plan that comes first
with its odds, `to_do` the few things that matter before it, `words` the sentences. There is no
table, and no page: a page of a room names no other, and this one names them all.
"""
