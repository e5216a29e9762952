-- Grain: trip, item that came along on days that do not join up (out, and back later): the nights
-- it was there for, each counted once, beside those between its first day and its last.
-- Only such stays are counted night by night; all others are told by their first and last day.
WITH parts AS (
  SELECT
    c.trip,
    c.item,
    coalesce(c.from_day, t.start_on) AS from_on,
    coalesce(c.until_day, t.end_on) AS until_on
  FROM stg_carried AS c
  JOIN stg_trips AS t ON t.trip = c.trip
  WHERE c.from_day IS NOT NULL OR c.until_day IS NOT NULL
),
split AS (
  SELECT trip, item, max(until_on) - min(from_on) AS span_nights
  FROM parts
  GROUP BY trip, item
  HAVING max(until_on - from_on) < span_nights
),
whole AS (
  SELECT c.trip, c.item
  FROM stg_carried AS c
  SEMI JOIN split AS s ON s.trip = c.trip AND s.item = c.item
  WHERE c.from_day IS NULL AND c.until_day IS NULL
),
broken AS (
  SELECT s.trip, s.item, s.span_nights
  FROM split AS s
  ANTI JOIN whole AS w ON w.trip = s.trip AND w.item = s.item
),
slept AS (
  SELECT
    b.trip,
    b.item,
    b.span_nights,
    unnest(range(CAST(p.from_on - DATE '0001-01-01' AS BIGINT), p.until_on - DATE '0001-01-01'))
      AS night_number
  FROM broken AS b
  JOIN parts AS p ON p.trip = b.trip AND p.item = b.item
),
counted AS (
  SELECT trip, item, count(DISTINCT night_number) AS nights
  FROM slept
  GROUP BY trip, item
)
SELECT b.trip, b.item, coalesce(c.nights, 0) AS nights, b.span_nights
FROM broken AS b
LEFT JOIN counted AS c ON c.trip = b.trip AND c.item = b.item
