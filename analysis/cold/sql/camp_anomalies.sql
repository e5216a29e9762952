-- Grain: trip over by $before with a night of which low and normal are known: how many, and how far
-- off their normals the lows were on average.
SELECT
  n.trip,
  count(*) AS nights,
  round(avg(n.low_anomaly_c), 6) AS anomaly_c
FROM nights AS n
JOIN stg_trips AS t ON t.trip = n.trip
WHERE n.low_anomaly_c IS NOT NULL AND t.end_on <= $before
GROUP BY n.trip
ORDER BY n.trip
