-- Grain: station. The normals that count where there are several: a file's before the packaged,
-- lows before those from hours, the newer period, daily before monthly.
WITH best AS (
  SELECT DISTINCT ON (station) *
  FROM stg_normal_sets
  ORDER BY station, packaged, kind = 'hours', last_year DESC, first_year DESC, product
)
SELECT
  b.station,
  s.name,
  s.latitude,
  s.longitude,
  s.elevation_m,
  b.product,
  b.period,
  b.kind,
  b.spread_from,
  b.completeness,
  b.years,
  b."file",
  b.packaged
FROM best AS b
JOIN stg_stations AS s ON s.station = b.station
