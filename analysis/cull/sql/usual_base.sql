-- Base weight of every given trip that has a night and of which anything weighed on me, and whether
-- anything of it is not weighed.
SELECT
  l.trip,
  l.base_mg,
  bool_or(c.weight_mg IS NULL) FILTER (c.on_me AND c.carried_as = 'base') AS unweighed
FROM trip_loads AS l
JOIN stg_trips AS t ON t.trip = l.trip
JOIN carried_rows AS c ON c.trip = l.trip
SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS s ON s.trip = l.trip
WHERE l.base_mg IS NOT NULL AND t.nights > 0
GROUP BY l.trip, l.base_mg
ORDER BY l.trip
