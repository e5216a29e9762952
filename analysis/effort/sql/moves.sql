-- Every day of travel on a trip that took place, by mode: how far, how high, how long.
SELECT
  d.trip,
  d.day,
  coalesce(d.mode, t.mode) AS mode,
  CAST(sum(d.distance_mm) AS BIGINT) / 1000000 AS distance_km,
  CASE WHEN count(d.ascent_mm) = count(*) THEN CAST(sum(d.ascent_mm) AS BIGINT) / 1000 END
    AS ascent_m,
  CASE WHEN count(d.hours) = count(*) THEN round(sum(d.hours), 6) END AS hours,
  round(sum(d.battery_wh), 6) AS battery_wh
FROM stg_distances AS d
JOIN stg_trips AS t ON t.trip = d.trip
WHERE NOT t.plan
GROUP BY d.trip, d.day, coalesce(d.mode, t.mode)
ORDER BY d.trip, d.day, mode NULLS LAST
