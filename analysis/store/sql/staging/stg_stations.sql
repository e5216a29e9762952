-- One row a weather station of which normals are known.
SELECT
  station,
  name,
  latitude,
  longitude,
  elevation_m
FROM stations
