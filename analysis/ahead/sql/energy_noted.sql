-- Each day by e-bike on trip $trip: what the battery gave, missing where a row of the day lacks it.
SELECT
  d.day,
  CASE WHEN count(d.battery_wh) = count(*) THEN round(sum(d.battery_wh), 6) END AS battery_wh
FROM stg_distances AS d
JOIN stg_trips AS t ON t.trip = d.trip
WHERE d.trip = $trip AND coalesce(d.mode, t.mode) = 'ebike' AND d.distance_mm > 0
GROUP BY d.day
ORDER BY d.day
