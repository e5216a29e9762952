-- Grain: trip; plans among them: its usual low, the lowest normal among its nights, missing where no
-- station tells of every one of them.
WITH lows AS (
  SELECT trip, count(normal_low_c) AS nights, min(normal_low_c) AS low_c
  FROM night_normals
  GROUP BY trip
)
SELECT t.trip, CASE WHEN l.nights = t.nights THEN l.low_c END AS usual_low_c
FROM stg_trips AS t
LEFT JOIN lows AS l ON l.trip = t.trip
