-- The given trips as trips to come.
WITH asked AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
)
SELECT
  t.trip,
  t.title,
  r.months,
  r.mode,
  r.nights,
  l.usual_low_c
FROM asked AS a
JOIN stg_trips AS t ON t.trip = a.trip
JOIN trip_ranges AS r ON r.trip = a.trip
JOIN trip_usual_lows AS l ON l.trip = a.trip
ORDER BY t.start_on, t.trip
