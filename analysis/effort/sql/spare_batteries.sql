-- Every trip that took place on which a battery came along that needs something with a battery of its
-- own: what it holds, what that holds, and whether it was used.
WITH spares AS (
  SELECT item, name, capacity_wh, unnest(needs) AS needed
  FROM stg_gear
  WHERE capacity_wh > 0
),
served AS (
  SELECT s.item, any_value(s.name) AS name, any_value(s.capacity_wh) AS capacity_wh,
    max(g.capacity_wh) AS main_wh
  FROM spares AS s
  JOIN stg_gear AS g ON g.item = s.needed
  WHERE g.capacity_wh > 0
  GROUP BY s.item
)
SELECT
  u.trip,
  u.item,
  s.name,
  s.capacity_wh,
  s.main_wh,
  u.known,
  u.used,
  u.start_mg / 1000 AS weight_g
FROM trip_item_use AS u
JOIN served AS s ON s.item = u.item
JOIN stg_trips AS t ON t.trip = u.trip
WHERE NOT u.plan
ORDER BY u.item, t.start_on, u.trip
