-- Grain: station. The normals that count where there are several: a file's before the packaged,
-- lows before those from hours, daily before monthly where a daily file has the spread of single
-- nights, the newer period. Where they have no spread, that of another set of the station stands in,
-- in the same order.
WITH ranked AS (
  SELECT
    *,
    kind = 'hours' AS hourly,
    kind = 'curve' AND bool_or(kind = 'published' AND spread_from IS NOT NULL AND NOT packaged)
      OVER (PARTITION BY station) AS behind_daily,
    product || ' ' || period || CASE WHEN packaged THEN ', packaged' ELSE '' END AS called
  FROM stg_normal_sets
),
lows AS (
  SELECT DISTINCT ON (station) *
  FROM ranked
  ORDER BY station, packaged, hourly, behind_daily, last_year DESC, first_year DESC, product
),
spreads AS (
  SELECT DISTINCT ON (r.station) r.*
  FROM ranked AS r
  JOIN lows AS l ON l.station = r.station
  WHERE r.spread_from IS NOT NULL
  ORDER BY
    r.station, r.called <> l.called, r.packaged, r.hourly, r.last_year DESC, r.first_year DESC,
    r.product
)
SELECT
  l.station,
  s.name,
  s.latitude,
  s.longitude,
  s.elevation_m,
  l.product,
  l.period,
  l.kind,
  d.spread_from,
  d.product AS spread_product,
  d.period AS spread_period,
  d."file" AS spread_file,
  l.called || CASE WHEN d.called <> l.called THEN '; spread ' || d.called ELSE '' END
    AS normal_source,
  l.completeness,
  l.years,
  l."file",
  l.packaged
FROM lows AS l
JOIN stg_stations AS s ON s.station = l.station
LEFT JOIN spreads AS d ON d.station = l.station
