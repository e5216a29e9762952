-- The given trips as trips to come: the usual low is the lowest normal among their nights, missing
-- where no station tells of every one of them.
WITH asked AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
),
lows AS (
  SELECT trip, count(normal_low_c) AS nights, min(normal_low_c) AS low_c
  FROM night_normals
  GROUP BY trip
)
SELECT
  t.trip,
  t.title,
  r.months,
  r.mode,
  r.nights,
  CASE WHEN l.nights = r.nights THEN l.low_c END AS usual_low_c
FROM asked AS a
JOIN stg_trips AS t ON t.trip = a.trip
JOIN trip_ranges AS r ON r.trip = a.trip
LEFT JOIN lows AS l ON l.trip = a.trip
ORDER BY t.start_on, t.trip
