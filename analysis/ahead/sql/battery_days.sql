-- Every day by e-bike on trips over before trip $trip begins: how far, how high, what the battery
-- gave. Climbing and energy are missing where a row of the day lacks them.
SELECT
  d.trip,
  d.day,
  CAST(sum(d.distance_mm) AS BIGINT) / 1000000 AS distance_km,
  CASE WHEN count(d.ascent_mm) = count(*) THEN CAST(sum(d.ascent_mm) AS BIGINT) / 1000 END
    AS ascent_m,
  CASE WHEN count(d.battery_wh) = count(*) THEN round(sum(d.battery_wh), 6) END AS battery_wh
FROM stg_distances AS d
JOIN stg_trips AS t ON t.trip = d.trip
JOIN stg_trips AS ahead ON ahead.trip = $trip
WHERE NOT t.plan
  AND t.trip <> ahead.trip
  AND t.end_on <= ahead.start_on
  AND coalesce(d.mode, t.mode) = 'ebike'
  AND d.distance_mm > 0
GROUP BY d.trip, d.day
ORDER BY d.trip, d.day
