-- The nights of one trip with their lows and normals.
SELECT
  night,
  low_c,
  low_source,
  normal_low_c,
  normal_low_sd_c AS sd_c,
  low_anomaly_c AS anomaly_c,
  low_percentile AS percentile
FROM nights
WHERE trip = $trip
ORDER BY night
