-- Which items came along on the given trips, by way of travelling; it is missing where it is not noted.
SELECT
  r.mode,
  list(DISTINCT u.item ORDER BY u.item) AS items
FROM trip_item_use AS u
JOIN trip_ranges AS r ON r.trip = u.trip
SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS s ON s.trip = u.trip
WHERE NOT u.plan
GROUP BY r.mode
ORDER BY r.mode
