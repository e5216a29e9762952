-- Grain: night of a trip over by $before of which the low was measured and the normal is known: how
-- far off its normal the low was, and how far single lows stray there and then. A thermometer
-- without a reading in the small hours measured no low.
SELECT
  n.trip,
  n.night,
  n.low_anomaly_c AS anomaly_c,
  n.normal_low_sd_c AS sd_c
FROM nights AS n
JOIN stg_trips AS t ON t.trip = n.trip
WHERE n.low_anomaly_c IS NOT NULL AND n.low_source <> 'logger_part' AND t.end_on <= $before
ORDER BY n.trip, n.night
