-- How far, how high and how long on each day of one trip, by mode.
SELECT
  d.day,
  coalesce(d.mode, t.mode) AS mode,
  CAST(sum(d.distance_mm) AS BIGINT) / 1000000 AS distance_km,
  CAST(sum(d.ascent_mm) AS BIGINT) / 1000 AS ascent_m,
  round(sum(d.hours), 6) AS hours,
  round(sum(d.battery_wh), 6) AS battery_wh
FROM stg_distances AS d
JOIN stg_trips AS t ON t.trip = d.trip
WHERE d.trip = $trip
GROUP BY d.day, coalesce(d.mode, t.mode)
ORDER BY d.day, mode NULLS LAST
