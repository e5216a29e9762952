-- What weighs on me at the start of trip $trip, row by row.
SELECT c.item, c.carried_as, c.bag, c.quantity, c.row_mg
FROM carried_rows AS c
WHERE c.trip = $trip AND c.on_me
ORDER BY c.item, c.carried_as, c.bag, c.from_day, c.row_mg
