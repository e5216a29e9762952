-- Grain: station, product, period of which normals are known. `counts` where they are the ones used
-- of their station, `spread_counts` where the spread of its single nights is theirs.
SELECT
  n.station,
  n.product,
  n.period,
  s.name,
  n.kind,
  n.product = b.product AND n.period = b.period AS counts,
  coalesce(n.product = b.spread_product AND n.period = b.spread_period, FALSE) AS spread_counts,
  n.spread_from,
  n.completeness,
  n.years,
  s.latitude,
  s.longitude,
  s.elevation_m,
  n."file"
FROM stg_normal_sets AS n
JOIN stg_stations AS s ON s.station = n.station
JOIN station_normals AS b ON b.station = n.station
ORDER BY n.station, n.product, n.period
