-- Whether what things are meant for came about on one trip while they were along; things for any
-- weather have no row, and where it is not known it is missing.
SELECT item, chance
FROM trip_item_chances
WHERE trip = $trip
ORDER BY item
