-- Grain: trip, night, of every trip that a station serves. The curve by which lows stray from their
-- normal that night, as `season_spread` has it, where its figures are explained: those of the middle
-- of the two nearest months, half a year later south of the equator, plain in the tropics.
-- `bend` is missing where the curve is a normal one.
WITH months (month, spread, skew) AS (
  VALUES
    (0, 1.0, -0.30), (1, 1.0, -0.30), (2, 1.0, -0.30), (3, 1.03, 0.30), (4, 1.03, 0.30),
    (5, 1.0, 0.0), (6, 1.0, 0.0), (7, 1.0, 0.0), (8, 1.0, 0.10), (9, 1.0, 0.10), (10, 1.0, 0.10),
    (11, 1.0, -0.30)
),
placed AS (
  SELECT
    trip,
    night,
    coalesce(abs(station_latitude) < 23.44, FALSE) AS tropical,
    month(night + 1) - 1 + CASE WHEN station_latitude < 0 THEN 6 ELSE 0 END AS at_month,
    (day(night + 1) - 0.5) / day(last_day(night + 1)) - 0.5 AS part
  FROM night_normals
),
mixed AS (
  SELECT
    p.trip,
    p.night,
    CASE WHEN p.tropical THEN 1.0 ELSE h.spread + abs(p.part) * (o.spread - h.spread) END AS spread,
    CASE WHEN p.tropical THEN 0.0 ELSE h.skew + abs(p.part) * (o.skew - h.skew) END AS skew
  FROM placed AS p
  JOIN months AS h ON h.month = p.at_month % 12
  JOIN months AS o ON o.month = (p.at_month + CASE WHEN p.part > 0 THEN 1 ELSE 11 END) % 12
),
rooted AS (
  SELECT
    *,
    cbrt(1 + skew * skew / 2 + abs(skew) * sqrt(1 + skew * skew / 4)) AS root
  FROM mixed
),
bent AS (
  SELECT
    *,
    (root - 1) * (root - 1) / root AS grown,
    CASE WHEN skew <> 0 THEN sign(skew) * sqrt(ln(1 + (root - 1) * (root - 1) / root)) END AS bend
  FROM rooted
)
SELECT
  trip,
  night,
  spread,
  bend,
  (exp(bend * bend / 2) - 1) / bend AS centre,
  spread * abs(bend) / (exp(bend * bend / 2) * sqrt(grown)) AS stretch
FROM bent
