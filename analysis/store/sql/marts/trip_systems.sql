-- Grain: trip, system of which anything came along; plans among them.
-- A kind's sum is 0 where nothing of that kind weighs on me, missing where nothing of it is weighed
-- or where the trip has nothing on me at the start. An item has one system, so that the counts of
-- items sum to the trip's.
WITH sums AS (
  SELECT * FROM trip_system_loads
),
laden AS (
  SELECT DISTINCT trip FROM sums WHERE rows_on_me > 0
),
loads AS (
  SELECT s.*, d.trip IS NOT NULL AS laden
  FROM sums AS s
  LEFT JOIN laden AS d ON d.trip = s.trip
),
along AS (
  SELECT DISTINCT trip, item
  FROM stg_carried
),
counted AS (
  SELECT a.trip, g.system, count(*) AS items
  FROM along AS a
  JOIN stg_gear AS g ON g.item = a.item
  GROUP BY a.trip, g.system
)
SELECT
  l.trip,
  l.system,
  coalesce(l.base_mg, CASE WHEN l.laden AND l.base_rows = 0 THEN 0 END) / 1000 AS base_g,
  coalesce(l.worn_mg, CASE WHEN l.laden AND l.worn_rows = 0 THEN 0 END) / 1000 AS worn_g,
  coalesce(l.consumable_mg, CASE WHEN l.laden AND l.consumable_rows = 0 THEN 0 END) / 1000
    AS consumable_g,
  coalesce(l.vehicle_mg, CASE WHEN l.laden AND l.vehicle_rows = 0 THEN 0 END) / 1000 AS vehicle_g,
  c.items
FROM loads AS l
JOIN counted AS c ON c.trip = l.trip AND c.system = l.system
ORDER BY l.trip, l.system
