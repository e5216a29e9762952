-- One trip, as the analysis tables have it, with where it went.
SELECT
  m.*,
  t.place
FROM trips AS m
JOIN stg_trips AS t ON t.trip = m.trip
WHERE m.trip = $trip
