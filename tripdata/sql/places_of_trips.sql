-- Grain: place and station asked for, of trips with a place; the trips from the latest on.
SELECT
  latitude, longitude, elevation_mm / 1000 AS elevation_m, station,
  list(trip ORDER BY start_on DESC, trip) AS trips
FROM trip
WHERE latitude IS NOT NULL AND longitude IS NOT NULL
GROUP BY ALL
ORDER BY max(start_on) DESC, min(trip)
