SELECT c.item, c.quantity, c.weight_mg, c.carried_as, c.carried_by, c.bag
FROM carried AS c JOIN trip AS t ON t.trip = c.trip
WHERE c.trip = $trip AND (c.from_day IS NULL OR c.from_day <= t.start_on)
ORDER BY c.rowid
