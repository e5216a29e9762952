-- Every scored day or night of a trip that is no plan, by time, with what the day was like: the one
-- place where those are chosen that count. `usual_km` is the
-- median day of that way of travelling on which one moved, `usual_ascent_m` the median climb of one;
-- a day without a distance on a trip that has some is a day without any, and without a climb where
-- the trip has some. A low without a reading in the small hours is missing: it may have been colder.
-- The last day has the night before. The rating is the lowest along, on the limit scale. A night on
-- which sleep or shelter gear had failed says nothing of what came along: its sleep score is left out.
WITH usual AS (
  SELECT
    t.mode,
    median(d.distance_mm) / 1e6 AS usual_km,
    median(d.ascent_mm) / 1e3 AS usual_ascent_m
  FROM trip_days AS d
  JOIN stg_trips AS t ON t.trip = d.trip
  WHERE d.distance_mm > 0 AND NOT d.plan
  GROUP BY t.mode
),
climbs AS (
  SELECT trip FROM trip_days WHERE ascent_mm IS NOT NULL GROUP BY trip
),
rated AS (
  SELECT c.trip, n.night, min(g.as_limit_c) AS rated_low_c
  FROM nights AS n
  JOIN carried_rows AS c ON c.trip = n.trip AND n.night >= c.from_on AND n.night < c.until_on
  JOIN sleep_ratings AS g ON g.item = c.item
  GROUP BY c.trip, n.night
),
apart AS (
  SELECT DISTINCT trip, night FROM nights_set_apart
)
SELECT
  s.trip,
  t.start_on,
  s.day,
  s.aspect,
  s.score,
  t.mode,
  t.nights,
  d.wet,
  CASE WHEN d.travelled_mm IS NOT NULL THEN coalesce(d.distance_mm, 0) / 1e6 END AS distance_km,
  u.usual_km,
  CASE
    WHEN d.ascent_mm IS NOT NULL THEN d.ascent_mm / 1e3
    WHEN d.distance_mm IS NULL AND c.trip IS NOT NULL THEN 0
  END AS ascent_m,
  u.usual_ascent_m,
  CASE
    WHEN n.low_source <> 'logger_part' THEN n.low_c
    WHEN n.night IS NULL AND s.aspect <> 'sleep' AND b.low_source <> 'logger_part' THEN b.low_c
  END AS low_c,
  coalesce(n.normal_low_c, CASE WHEN s.aspect <> 'sleep' THEN b.normal_low_c END) AS normal_low_c,
  r.rated_low_c
FROM stg_comfort AS s
JOIN stg_trips AS t ON t.trip = s.trip
JOIN trip_days AS d ON d.trip = s.trip AND d.day = s.day
LEFT JOIN usual AS u ON u.mode IS NOT DISTINCT FROM t.mode
LEFT JOIN climbs AS c ON c.trip = s.trip
LEFT JOIN nights AS n ON n.trip = s.trip AND n.night = s.day
LEFT JOIN nights AS b ON b.trip = s.trip AND b.night = s.day - 1
LEFT JOIN rated AS r ON r.trip = s.trip AND r.night = s.day
LEFT JOIN apart AS a ON a.trip = s.trip AND a.night = s.day AND s.aspect = 'sleep'
WHERE NOT t.plan AND a.trip IS NULL
ORDER BY t.start_on, s.trip, s.day, s.aspect
