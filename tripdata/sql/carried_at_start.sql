SELECT c.item, c.quantity, c.weight_mg, c.carried_as, c.carried_by, c.bag
FROM carried AS c JOIN gear AS g ON g.item = c.item
WHERE c.trip = $trip AND (g.retired_on IS NULL OR g.retired_on > $day)
  AND (c.from_day IS NULL OR c.from_day <= (SELECT start_on FROM trip WHERE trip = $trip))
ORDER BY c.rowid
