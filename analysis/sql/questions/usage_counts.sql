-- How often every item that came along on the given trips, or was missed on one of them, had its
-- chance and was used.
-- A trip counts where its use of the item is known; it is a chance where a condition came about that
-- the item is meant for. A trip on which it was missed at home is one chance and one use.
WITH scope AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
),
meant AS (
  SELECT DISTINCT item FROM item_conditions
),
along AS (
  SELECT
    u.item,
    u.known,
    u.used,
    u.times,
    u.last_on,
    u.last_used_on,
    CASE WHEN m.item IS NULL THEN true ELSE c.chance END AS chance,
    h.logged,
    h.own_rows,
    h.weighed_rows,
    h.hauled_mg_mm
  FROM trip_item_use AS u
  SEMI JOIN scope AS s ON s.trip = u.trip
  LEFT JOIN meant AS m ON m.item = u.item
  LEFT JOIN trip_item_chances AS c ON c.trip = u.trip AND c.item = u.item
  LEFT JOIN trip_item_hauls AS h ON h.trip = u.trip AND h.item = u.item
  WHERE NOT u.plan
),
carried AS (
  SELECT
    item,
    count(*) AS trips_carried,
    count(*) FILTER (known) AS trips_logged,
    count(*) FILTER (known AND chance) AS chances,
    count(*) FILTER (used AND chance) AS chances_used,
    count(*) FILTER (known AND NOT chance) AS no_chance,
    count(*) FILTER (used) AS trips_used,
    CAST(coalesce(sum(times), 0) AS BIGINT) AS times_used,
    max(last_on) AS last_carried_on,
    max(last_used_on) AS last_used_on,
    CASE
      WHEN count(*) FILTER (logged) = 0 THEN NULL
      WHEN sum(own_rows) > 0 AND sum(weighed_rows) = 0 THEN NULL
      ELSE sum(hauled_mg_mm)
    END AS hauled_mg_mm,
    CASE
      WHEN count(*) FILTER (logged AND known) = 0 THEN NULL
      WHEN sum(own_rows) FILTER (known) > 0 AND sum(weighed_rows) FILTER (known) = 0 THEN NULL
      ELSE sum(hauled_mg_mm) FILTER (known)
    END AS hauled_known_mg_mm
  FROM along
  GROUP BY item
),
wished AS (
  SELECT w.item, count(*) AS wished
  FROM trip_item_wishes AS w
  SEMI JOIN scope AS s ON s.trip = w.trip
  GROUP BY w.item
)
SELECT
  g.item,
  g.name,
  g.system,
  g.carried_as,
  g.weight_mg / 1000 AS weight_g,
  g.insurance,
  g.essential,
  g.owner,
  g.retired_on,
  g.checked_on,
  g.going_without,
  g.meant_for,
  g.cold_below_c,
  g.needs,
  coalesce(c.trips_carried, 0) AS trips_carried,
  coalesce(c.trips_logged, 0) AS trips_logged,
  coalesce(c.chances, 0) + coalesce(w.wished, 0) AS chances,
  coalesce(c.chances_used, 0) + coalesce(w.wished, 0) AS chances_used,
  coalesce(c.no_chance, 0) AS no_chance,
  coalesce(c.trips_used, 0) AS trips_used,
  coalesce(c.times_used, 0) AS times_used,
  coalesce(w.wished, 0) AS wished,
  c.last_carried_on,
  c.last_used_on,
  CAST(c.hauled_mg_mm AS DOUBLE) / 1e12 AS hauled_kg_km,
  CASE WHEN c.times_used > 0 THEN CAST(c.hauled_known_mg_mm AS DOUBLE) / 1e12 / c.times_used END
    AS kg_km_per_use
FROM items_today AS g
LEFT JOIN carried AS c ON c.item = g.item
LEFT JOIN wished AS w ON w.item = g.item
WHERE c.item IS NOT NULL OR w.item IS NOT NULL
ORDER BY g.item
