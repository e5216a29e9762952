-- Every trip that took place with a night and with something on me at its start: its base weight, and
-- whether something of it is not weighed.
SELECT
  t.trip,
  t.start_on,
  t.nights,
  l.base_mg / 1000 AS base_g,
  m.unweighed > 0 AS unweighed
FROM stg_trips AS t
JOIN trip_loads AS l ON l.trip = t.trip
JOIN trips AS m ON m.trip = t.trip
WHERE NOT t.plan AND t.nights > 0 AND l.base_mg IS NOT NULL
ORDER BY t.start_on, t.trip
