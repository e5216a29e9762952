-- Grain: station, product, period of which normals are known. `counts` where they are the ones used
-- of their station.
SELECT
  n.station,
  n.product,
  n.period,
  s.name,
  n.kind,
  b.product IS NOT NULL AS counts,
  n.spread_from,
  n.completeness,
  n.years,
  s.latitude,
  s.longitude,
  s.elevation_m,
  n."file"
FROM stg_normal_sets AS n
JOIN stg_stations AS s ON s.station = n.station
LEFT JOIN station_normals AS b
  ON b.station = n.station AND b.product = n.product AND b.period = n.period
ORDER BY n.station, n.product, n.period
