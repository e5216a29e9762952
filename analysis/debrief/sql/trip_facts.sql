-- One trip, as the analysis tables have it, with where it went and what its owner wrote of it.
SELECT
  m.*,
  t.place,
  t.people,
  nullif(trim(t.note), '') AS note
FROM trips AS m
JOIN stg_trips AS t ON t.trip = m.trip
WHERE m.trip = $trip
