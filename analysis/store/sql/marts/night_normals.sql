-- Grain: trip, night, of every trip that a station serves; plans among them. The low of a night
-- mostly falls in the small hours, so that it is the normal of the day after.
WITH spine AS (
  SELECT trip, start_on, unnest(range(0, nights)) AS offset_days
  FROM stg_trips
),
dated AS (
  SELECT trip, CAST(start_on + CAST(offset_days AS INTEGER) AS DATE) AS night
  FROM spine
)
SELECT
  d.trip,
  d.night,
  s.station,
  n.low_c + s.height_adjustment_c AS normal_low_c,
  w.sd_c AS normal_low_sd_c,
  s.latitude AS station_latitude,
  s.normal_source
FROM dated AS d
JOIN trip_stations AS s ON s.trip = d.trip
JOIN stg_normals AS n
  ON n.station = s.station
  AND n.product = s.product
  AND n.period = s.period
  AND n.month_day = strftime(d.night + 1, '%m-%d')
LEFT JOIN stg_normals AS w
  ON w.station = s.station
  AND w.product = s.spread_product
  AND w.period = s.spread_period
  AND w.month_day = n.month_day
