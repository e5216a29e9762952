-- The carried rows of two trips, for their difference.
SELECT
  c.trip,
  c.item,
  g.name,
  c.system,
  c.on_me AND c.carried_as = 'base' AS base,
  c.mine AND c.carried_as = 'base' AND NOT c.at_start AS later,
  c.quantity,
  c.row_mg
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
WHERE c.trip IN ($before, $after)
ORDER BY c.trip, c.item, c.row_mg
