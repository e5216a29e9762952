-- Each day of trip $trip and each way of travelling on it, also a day of which nothing is noted.
-- A day's ascent is known where every row of it has one.
WITH spine AS (
  SELECT
    trip,
    mode,
    CAST(unnest(range(start_on, end_on + INTERVAL 1 DAY, INTERVAL 1 DAY)) AS DATE) AS day
  FROM stg_trips
  WHERE trip = $trip
)
SELECT
  s.day,
  coalesce(d.mode, s.mode) AS mode,
  CAST(sum(d.distance_mm) AS BIGINT) / 1000000 AS distance_km,
  CASE WHEN count(d.ascent_mm) = count(*) THEN CAST(sum(d.ascent_mm) AS BIGINT) / 1000 END
    AS ascent_m
FROM spine AS s
LEFT JOIN stg_distances AS d ON d.trip = s.trip AND d.day = s.day
GROUP BY s.day, coalesce(d.mode, s.mode)
ORDER BY s.day, mode NULLS LAST
