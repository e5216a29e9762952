-- The station that serves one trip, with the normals that count; no row where none does.
SELECT
  n.*,
  s.distance_km,
  s.height_difference_m,
  s.named
FROM trip_stations AS s
JOIN station_normals AS n ON n.station = s.station
WHERE s.trip = $trip
