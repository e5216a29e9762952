-- The list of trip $trip, row by row, of others' loads, too; weights of one piece at its start.
SELECT
  c.item,
  g.name,
  g.system,
  g.kit,
  c.bag,
  c.carried_as,
  c.carried_by,
  c.quantity,
  c.weight_mg
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
WHERE c.trip = $trip
ORDER BY c.item, c.carried_as, c.bag, c.from_day, c.weight_mg
