-- One row a station, product and period of which normals are known. Without a file it is packaged
-- with the program; of kind 'hours' it is the weaker kind.
SELECT
  station,
  product,
  period,
  kind,
  spread_from,
  completeness,
  years,
  "file",
  "file" IS NULL AS packaged,
  CAST(left(period, 4) AS INTEGER) AS first_year,
  CAST(right(period, 4) AS INTEGER) AS last_year
FROM normal_sets
