-- Normals of the lows of the nights from $first to $last, of one station, product and period, moved
-- by $adjustment_c, with the spread of the same or another product and period of the station.
WITH dated AS (
  SELECT
    CAST(CAST($first AS DATE) + CAST(offset_days AS INTEGER) AS DATE) AS night
  FROM (
    SELECT unnest(range(0, CAST($last AS DATE) - CAST($first AS DATE) + 1)) AS offset_days
  ) AS spine
)
SELECT
  d.night,
  n.low_c + $adjustment_c AS normal_low_c,
  w.sd_c
FROM dated AS d
JOIN stg_normals AS n ON n.month_day = strftime(d.night + 1, '%m-%d')
LEFT JOIN stg_normals AS w
  ON w.station = n.station
  AND w.product = $spread_product
  AND w.period = $spread_period
  AND w.month_day = n.month_day
WHERE n.station = $station AND n.product = $product AND n.period = $period
ORDER BY d.night
