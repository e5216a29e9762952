-- The thermometer readings of one trip and a day on either side. Where there are more than $points,
-- the lowest and the highest of every stretch of time stand for the rest, spot by spot.
WITH near AS (
  SELECT t.read_at, t.temperature_c, t.spot
  FROM stg_temperatures AS t
  JOIN stg_trips AS s ON s.trip = t.trip
  WHERE
    t.trip = $trip
    AND t.read_at >= s.start_on - INTERVAL 1 DAY
    AND t.read_at < s.end_on + INTERVAL 2 DAY
),
extent AS (
  SELECT
    count(*) AS readings,
    min(epoch_us(read_at)) AS first_us,
    max(epoch_us(read_at)) - min(epoch_us(read_at)) + 1 AS length_us,
    greatest($points // 2 // greatest(count(DISTINCT spot), 1), 1) AS stretches
  FROM near
),
placed AS (
  SELECT
    n.read_at,
    n.temperature_c,
    n.spot,
    e.readings,
    (epoch_us(n.read_at) - e.first_us) * e.stretches // e.length_us AS stretch
  FROM near AS n
  CROSS JOIN extent AS e
),
ranked AS (
  SELECT
    *,
    row_number() OVER (PARTITION BY spot, stretch ORDER BY temperature_c, read_at) AS from_low,
    row_number() OVER (PARTITION BY spot, stretch ORDER BY temperature_c DESC, read_at) AS from_high
  FROM placed
)
SELECT read_at, temperature_c, spot
FROM ranked
WHERE readings <= $points OR from_low = 1 OR from_high = 1
ORDER BY read_at, spot, temperature_c
