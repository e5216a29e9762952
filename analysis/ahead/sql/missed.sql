-- What was missed on trip $trip: a thing owned and left at home, or words for what is not owned.
SELECT w.item, coalesce(g.name, w.what) AS name
FROM stg_wished AS w
LEFT JOIN stg_gear AS g ON g.item = w.item
WHERE w.trip = $trip
ORDER BY name, w.item
