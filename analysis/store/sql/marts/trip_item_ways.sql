-- Grain: trip that is no plan and has a distance, item that came along on it: how far it went along,
-- each day counted once, whoever carried it.
WITH parts AS (
  SELECT DISTINCT trip, item, from_on, until_on, from_day IS NULL AND until_day IS NULL AS throughout
  FROM carried_rows
  WHERE NOT plan
),
days AS (
  SELECT trip, day, distance_mm
  FROM trip_days
  WHERE NOT plan AND travelled_mm IS NOT NULL
),
trips_on AS (
  SELECT trip, CAST(coalesce(sum(distance_mm), 0) AS BIGINT) AS distance_mm
  FROM days
  GROUP BY trip
),
stays AS (
  SELECT trip, item, bool_or(throughout) AS throughout
  FROM parts
  GROUP BY trip, item
),
along AS (
  SELECT DISTINCT p.trip, p.item, d.day, d.distance_mm
  FROM parts AS p
  JOIN stays AS s ON s.trip = p.trip AND s.item = p.item AND NOT s.throughout
  JOIN days AS d ON d.trip = p.trip AND d.day >= p.from_on AND d.day <= p.until_on
),
part_ways AS (
  SELECT trip, item, CAST(coalesce(sum(distance_mm), 0) AS BIGINT) AS distance_mm
  FROM along
  GROUP BY trip, item
)
SELECT
  s.trip,
  s.item,
  CASE WHEN s.throughout THEN t.distance_mm ELSE coalesce(w.distance_mm, 0) END AS distance_mm
FROM stays AS s
JOIN trips_on AS t ON t.trip = s.trip
LEFT JOIN part_ways AS w ON w.trip = s.trip AND w.item = s.item
