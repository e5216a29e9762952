-- One row a thing of gear.csv, with its weight of today, what its trips say of its use, and what one of
-- it weighed on the latest trip of which that was noted. `never_used`: unused wherever its use is known,
-- and known somewhere.
WITH uses AS (
  SELECT item, bool_or(used) AS ever_used, bool_and(NOT used) AS never_used
  FROM trip_item_use
  WHERE known AND NOT plan
  GROUP BY item
),
loads AS (
  SELECT c.item, arg_max(c.weight_mg, t.start_on) / 1000 AS last_g
  FROM carried AS c
  JOIN trip AS t ON t.trip = c.trip
  WHERE c.weight_mg IS NOT NULL AND NOT t.plan
  GROUP BY c.item
)
SELECT
  i.item,
  i.name,
  i.system,
  i.kit,
  i.insurance,
  i.carried_as,
  i.weight_mg / 1000 AS weight_g,
  i.retired_on,
  coalesce(u.ever_used, false) AS ever_used,
  coalesce(u.never_used, false) AS never_used,
  l.last_g
FROM items_today AS i
LEFT JOIN uses AS u ON u.item = i.item
LEFT JOIN loads AS l ON l.item = i.item
ORDER BY i.item
