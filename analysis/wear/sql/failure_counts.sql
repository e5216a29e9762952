-- Every item that came along on a trip that took place, or failed on one: nights and distance that it
-- was there for, its failures by severity, and those on trips that have a distance. What is eaten or
-- used up does not fail as gear does: it is left out unless a failure of it is noted.
WITH stays AS (
  SELECT item, CAST(sum(nights) AS BIGINT) AS nights
  FROM trip_item_nights
  GROUP BY item
),
ways AS (
  SELECT item, CAST(sum(distance_mm) AS BIGINT) AS distance_mm
  FROM trip_item_ways
  GROUP BY item
),
measured AS (
  SELECT DISTINCT trip
  FROM trip_days
  WHERE travelled_mm IS NOT NULL
),
failed AS (
  SELECT
    f.item,
    count(*) AS failures,
    count(*) FILTER (f.severity = 'nuisance') AS nuisance,
    count(*) FILTER (f.severity = 'impaired') AS impaired,
    count(*) FILTER (f.severity = 'lost_use') AS lost_use,
    count(*) FILTER (f.severity = 'unsafe') AS unsafe,
    count(*) FILTER (f.severity IN ('lost_use', 'unsafe') AND f.fixed_on IS NOT NULL) AS mended,
    count(m.trip) AS measured_failures
  FROM stg_failures AS f
  JOIN stg_trips AS t ON t.trip = f.trip
  LEFT JOIN measured AS m ON m.trip = f.trip
  WHERE NOT t.plan
  GROUP BY f.item
)
SELECT
  g.item,
  g.name,
  g.system,
  g.retired_on,
  coalesce(s.nights, 0) AS nights,
  w.distance_mm / 1000000 AS distance_km,
  coalesce(f.failures, 0) AS failures,
  coalesce(f.nuisance, 0) AS nuisance,
  coalesce(f.impaired, 0) AS impaired,
  coalesce(f.lost_use, 0) AS lost_use,
  coalesce(f.unsafe, 0) AS unsafe,
  coalesce(f.mended, 0) AS mended,
  coalesce(f.measured_failures, 0) AS measured_failures
FROM stg_gear AS g
LEFT JOIN stays AS s ON s.item = g.item
LEFT JOIN ways AS w ON w.item = g.item
LEFT JOIN failed AS f ON f.item = g.item
WHERE f.item IS NOT NULL
  OR (
    s.item IS NOT NULL
    AND g.system <> 'food'
    AND g.item NOT IN (
      SELECT item
      FROM carried_rows
      WHERE NOT plan
      GROUP BY item
      HAVING bool_and(carried_as = 'consumable')
    )
  )
ORDER BY g.item
