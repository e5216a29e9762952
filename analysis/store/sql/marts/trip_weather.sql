-- Grain: trip that is no plan: how much of its weather is known, and what it came to.
WITH lows AS (
  SELECT trip, count(*) AS nights, count(low_c) AS nights_known, min(low_c) AS lowest_c
  FROM nights
  GROUP BY trip
),
days AS (
  SELECT
    trip,
    count(*) AS days,
    count(wet) AS wet_known,
    count(*) FILTER (wet) AS wet_days,
    count(conditions) AS conditions_known
  FROM trip_days
  WHERE NOT plan
  GROUP BY trip
)
SELECT
  d.trip,
  d.days,
  d.wet_known,
  d.wet_days,
  d.conditions_known,
  coalesce(l.nights, 0) AS nights,
  coalesce(l.nights_known, 0) AS nights_known,
  l.lowest_c
FROM days AS d
LEFT JOIN lows AS l ON l.trip = d.trip
