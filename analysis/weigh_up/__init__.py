"""What does it all weigh?

Gets everything in gear.csv, or what a trip or plan carries at its start, less and plus what is
asked for; answers with exact sums by system, kit, bag, way of carrying and item. It advises
nothing.

`weighing` gets the list and its sums, `wishes` reads the names that are left out, added or carried
another way, `results` has rows, sums and the totals with a name. `unmarked` says what is eaten or
worn and not marked so. `guarding` says what keeps safe,
dry or warm and is named first where it is left out. `bags` sets what bags hold beside their owner's
limits, `comparison` one list beside another. `words` says what is missing, `page` is the report,
`outputs` has its table.
"""
