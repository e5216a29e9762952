-- The station that serves one trip; no row where none does.
SELECT
  station,
  name,
  latitude,
  longitude,
  elevation_m,
  product,
  period,
  kind,
  spread_from,
  spread_product,
  spread_period,
  spread_file,
  normal_source,
  completeness,
  years,
  "file",
  packaged,
  distance_km,
  height_difference_m,
  named
FROM trip_stations
WHERE trip = $trip
