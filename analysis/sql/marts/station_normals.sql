-- Grain: station. The normals that count where there are several: a file's before the packaged,
-- lows before those from hours, the newer period, daily before monthly.
SELECT DISTINCT ON (n.station)
  n.station,
  s.name,
  s.latitude,
  s.longitude,
  s.elevation_m,
  n.product,
  n.period,
  n.kind,
  n.spread_from,
  n.completeness,
  n.years,
  n."file",
  n.packaged,
  n.last_year
FROM stg_normal_sets AS n
JOIN stg_stations AS s ON s.station = n.station
ORDER BY
  n.station, n.packaged, n.kind = 'hours', n.last_year DESC, n.first_year DESC, n.product
