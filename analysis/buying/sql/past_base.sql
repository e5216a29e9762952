-- Every trip that took place with a night and with something on me at its start: its base weight, and
-- whether something of it is not weighed, or food, fuel or worn clothes count in it.
SELECT
  t.trip,
  t.start_on,
  t.nights,
  l.base_mg / 1000 AS base_g,
  m.unweighed > 0 AS unweighed,
  u.trip IS NOT NULL AS unmarked
FROM stg_trips AS t
JOIN trip_loads AS l ON l.trip = t.trip
JOIN trips AS m ON m.trip = t.trip
LEFT JOIN trip_unmarked AS u ON u.trip = t.trip
WHERE NOT t.plan AND t.nights > 0 AND l.base_mg IS NOT NULL
ORDER BY t.start_on, t.trip
