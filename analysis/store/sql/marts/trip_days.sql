-- Grain: trip, day of the trip, both ends included; plans among them.
-- `travelled_mm` is the distance from the trip's start to the end of that day, missing on trips
-- without any distance.
WITH days AS (
  SELECT trip, plan, start_on, unnest(range(0, nights + 1)) AS offset_days
  FROM stg_trips
),
moved AS (
  SELECT
    trip,
    day,
    CAST(sum(distance_mm) AS BIGINT) AS distance_mm,
    CAST(sum(ascent_mm) AS BIGINT) AS ascent_mm,
    round(sum(hours), 6) AS hours,
    round(sum(battery_wh), 6) AS battery_wh
  FROM stg_distances
  GROUP BY trip, day
),
along AS (
  SELECT trip, plan, CAST(start_on + CAST(offset_days AS INTEGER) AS DATE) AS day
  FROM days
)
SELECT
  a.trip,
  a.day,
  a.plan,
  m.distance_mm,
  CASE
    WHEN count(m.distance_mm) OVER whole > 0
      THEN CAST(coalesce(sum(m.distance_mm) OVER so_far, 0) AS BIGINT)
  END AS travelled_mm,
  m.ascent_mm,
  m.hours,
  m.battery_wh,
  w.wet,
  w.rain_mm,
  w.wind_kmh,
  w.low_c,
  w.high_c,
  w.conditions
FROM along AS a
LEFT JOIN moved AS m ON m.trip = a.trip AND m.day = a.day
LEFT JOIN stg_weather AS w ON w.trip = a.trip AND w.day = a.day
WINDOW
  whole AS (PARTITION BY a.trip),
  so_far AS (PARTITION BY a.trip ORDER BY a.day)
