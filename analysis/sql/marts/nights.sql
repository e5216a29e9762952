-- Grain: trip, night. A row for every night of every trip that is not a plan.
WITH spine AS (
  SELECT trip, start_on, unnest(range(0, nights)) AS offset_days
  FROM stg_trips
  WHERE NOT plan
),
dated AS (
  SELECT trip, CAST(start_on + CAST(offset_days AS INTEGER) AS DATE) AS night
  FROM spine
)
SELECT
  d.trip,
  d.night,
  coalesce(l.low_c, w.low_c) AS low_c,
  CASE
    WHEN l.small_hours THEN 'logger'
    WHEN l.low_c IS NOT NULL THEN 'logger_part'
    WHEN w.low_c IS NOT NULL THEN 'weather'
  END AS low_source,
  CAST(NULL AS DOUBLE) AS normal_low_c,
  CAST(NULL AS DOUBLE) AS low_anomaly_c,
  c.score AS sleep_score,
  c.warmth
FROM dated AS d
LEFT JOIN night_lows AS l ON l.trip = d.trip AND l.night = d.night
LEFT JOIN stg_weather AS w ON w.trip = d.trip AND w.day = d.night
LEFT JOIN stg_comfort AS c ON c.trip = d.trip AND c.day = d.night AND c.aspect = 'sleep'
ORDER BY d.trip, d.night
