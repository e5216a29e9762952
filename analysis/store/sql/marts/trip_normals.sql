-- Grain: trip and station that is near, nearest or named; plans among them. A trip without a place
-- has one row without a station.
SELECT
  t.trip,
  d.station,
  s.name,
  d.distance_km,
  t.elevation_m - s.elevation_m AS height_difference_m,
  coalesce(u.station = d.station, FALSE) AS serves
FROM stg_trips AS t
LEFT JOIN stg_station_distances AS d ON d.trip = t.trip
LEFT JOIN stg_stations AS s ON s.station = d.station
LEFT JOIN trip_stations AS u ON u.trip = t.trip
ORDER BY t.trip, d.station
