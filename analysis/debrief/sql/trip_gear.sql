-- Every item that came along on one trip, with what its rows on me at the start came to.
WITH rows AS (
  SELECT
    item,
    CAST(sum(quantity) AS BIGINT) AS pieces,
    count(*) FILTER (carried_as = 'consumable') AS consumable_rows,
    count(*) FILTER (carried_as = 'consumable' AND brought_home_mg IS NOT NULL) AS weighed_home_rows
  FROM carried_rows
  WHERE trip = $trip
  GROUP BY item
)
SELECT
  u.item,
  g.name,
  u.system,
  u.insurance,
  r.pieces,
  u.start_mg,
  u.start_mg / 1000 AS weight_g,
  u.on_me,
  u.unweighed,
  u.known,
  u.used,
  u.times,
  r.consumable_rows,
  r.weighed_home_rows,
  g.checked_on,
  g.retired_on,
  g.capacity_wh
FROM trip_item_use AS u
JOIN rows AS r ON r.item = u.item
JOIN stg_gear AS g ON g.item = u.item
WHERE u.trip = $trip
ORDER BY u.start_mg DESC NULLS LAST, u.item
