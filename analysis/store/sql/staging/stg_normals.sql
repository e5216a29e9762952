-- One row a station, product, period and day of the year, `MM-DD`. It is the normal of the low of
-- that day, which mostly falls in its small hours.
SELECT
  station,
  product,
  period,
  month_day,
  low_c,
  sd_c
FROM normals
