-- Every station of which normals are known, with those that count.
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
  packaged
FROM station_normals
ORDER BY station
