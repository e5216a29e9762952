-- What weighed on me at the start of one trip, row by row, with the bag it travelled in.
SELECT bag, carried_as, item, row_mg
FROM carried_rows
WHERE trip = $trip AND on_me
ORDER BY item, carried_as, bag, row_mg
