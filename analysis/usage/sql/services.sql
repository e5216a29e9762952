-- Which systems other than their own items served on the given trips, and on how many.
SELECT v.item, v.system, count(*) AS trips
FROM trip_item_services AS v
SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS s ON s.trip = v.trip
GROUP BY v.item, v.system
ORDER BY v.item, v.system
