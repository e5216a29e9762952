-- Grain: trip, system of which anything came along; plans among them.
-- A kind's sum is 0 where nothing of that kind weighs on me, missing where nothing of it is weighed
-- or where the trip has nothing on me at the start. An item has one system, so that the counts of
-- items sum to the trip's. Few items come along in more than one row of a trip: rows are counted, and
-- those beyond an item's first taken off, which costs less than counting each trip's items apart.
WITH sums AS (
  SELECT * FROM trip_system_loads
),
unladen AS (
  SELECT trip FROM sums GROUP BY trip HAVING max(rows_on_me) = 0
),
repeated AS (
  SELECT trip, item, count(*) - 1 AS further
  FROM stg_carried
  GROUP BY trip, item
  HAVING count(*) > 1
),
beyond AS (
  SELECT r.trip, g.system, CAST(sum(r.further) AS BIGINT) AS rows_beyond
  FROM repeated AS r
  JOIN stg_gear AS g ON g.item = r.item
  GROUP BY r.trip, g.system
),
loads AS (
  SELECT s.*, u.trip IS NULL AS laden
  FROM sums AS s
  LEFT JOIN unladen AS u ON u.trip = s.trip
)
SELECT
  l.trip,
  l.system,
  coalesce(l.base_mg, CASE WHEN l.laden AND l.base_rows = 0 THEN 0 END) / 1000 AS base_g,
  coalesce(l.worn_mg, CASE WHEN l.laden AND l.worn_rows = 0 THEN 0 END) / 1000 AS worn_g,
  coalesce(l.consumable_mg, CASE WHEN l.laden AND l.consumable_rows = 0 THEN 0 END) / 1000
    AS consumable_g,
  coalesce(l.vehicle_mg, CASE WHEN l.laden AND l.vehicle_rows = 0 THEN 0 END) / 1000 AS vehicle_g,
  l.rows_along - coalesce(b.rows_beyond, 0) AS items
FROM loads AS l
LEFT JOIN beyond AS b ON b.trip = l.trip AND b.system = l.system
ORDER BY l.trip, l.system
