-- Grain: trip, night. A row for every night of every trip that is not a plan.
-- Percentile: the share that the season's curve gives (`night_seasons`): by the score of the low,
-- the standard normal distribution function by Hart's rational approximation, as given
-- by West (2005), "Better approximations to cumulative normal functions", Wilmott; good to 1e-14.
WITH spine AS (
  SELECT trip, start_on, unnest(range(0, nights)) AS offset_days
  FROM stg_trips
  WHERE NOT plan
),
dated AS (
  SELECT trip, CAST(start_on + CAST(offset_days AS INTEGER) AS DATE) AS night
  FROM spine
),
measured AS (
  SELECT
    d.trip,
    d.night,
    coalesce(l.low_c, w.low_c) AS low_c,
    CASE
      WHEN l.small_hours THEN 'logger'
      WHEN l.low_c IS NOT NULL THEN 'logger_part'
      WHEN w.low_c IS NOT NULL THEN 'weather'
    END AS low_source,
    n.normal_low_c,
    n.normal_low_sd_c,
    n.station,
    n.normal_source,
    (coalesce(l.low_c, w.low_c) - n.normal_low_c) / n.normal_low_sd_c AS deviations,
    s.spread,
    s.bend,
    1 + s.bend * ((coalesce(l.low_c, w.low_c) - n.normal_low_c) / n.normal_low_sd_c / s.stretch
      + s.centre) AS grown
  FROM dated AS d
  LEFT JOIN night_lows AS l ON l.trip = d.trip AND l.night = d.night
  LEFT JOIN stg_weather AS w ON w.trip = d.trip AND w.day = d.night
  LEFT JOIN night_normals AS n ON n.trip = d.trip AND n.night = d.night
  LEFT JOIN night_seasons AS s ON s.trip = d.trip AND s.night = d.night
),
scored AS (
  SELECT
    *,
    CASE
      WHEN bend IS NULL THEN deviations / spread
      WHEN grown > 0 THEN greatest(-38, least(38, ln(grown) / bend))
      WHEN grown <= 0 THEN -38 * sign(bend)
    END AS score
  FROM measured
),
tails AS (
  SELECT
    *,
    abs(score) AS x,
    exp(-score * score / 2) AS e
  FROM scored
),
placed AS (
  SELECT
    *,
    CASE
      WHEN x < 7.07106781186547 THEN e
        * ((((((3.52624965998911e-2 * x + 0.700383064443688) * x + 6.37396220353165) * x
          + 33.912866078383) * x + 112.079291497871) * x + 221.213596169931) * x
          + 220.206867912376)
        / (((((((8.83883476483184e-2 * x + 1.75566716318264) * x + 16.064177579207) * x
          + 86.7807322029461) * x + 296.564248779674) * x + 637.333633378831) * x
          + 793.826512519948) * x + 440.413735824752)
      ELSE e / (x + 1 / (x + 2 / (x + 3 / (x + 4 / (x + 0.65))))) / 2.506628274631
    END AS tail
  FROM tails
)
SELECT
  p.trip,
  p.night,
  p.low_c,
  p.low_source,
  p.normal_low_c,
  p.low_c - p.normal_low_c AS low_anomaly_c,
  c.score AS sleep_score,
  c.warmth,
  p.normal_low_sd_c,
  100 * CASE WHEN p.score > 0 THEN 1 - p.tail ELSE p.tail END AS low_percentile,
  p.station,
  p.normal_source
FROM placed AS p
LEFT JOIN stg_comfort AS c ON c.trip = p.trip AND c.day = p.night AND c.aspect = 'sleep'
ORDER BY p.trip, p.night
