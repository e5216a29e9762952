"""What carrying a weight cost on one's own legs and roads, by trip, item and battery.

Gets days with their distance and climbing, what was carried on them and what it weighs; answers in
energy, as a range over formulas and grounds, and in a battery's Wh.

`formulas` has the published ones, `days` the cost of one day, `carrying_cost` the sums by trip,
item and battery; `section` tells it, `outputs` is its table.
"""
