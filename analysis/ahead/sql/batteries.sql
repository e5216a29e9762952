-- Every bike, and what holds energy for one, owned when trip $trip began: what it is spare for (a
-- bike that it needs or, where it is of another system, that needs it), and how many pieces are on that trip's list. A
-- bike without a capacity is known by its 5 kg at least (common practice, no published source).
WITH holding AS (
  SELECT g.item, g.name, g.system, g.capacity_wh, g.weight_mg, g.needs
  FROM stg_gear AS g
  JOIN stg_trips AS t ON t.trip = $trip
  WHERE (g.capacity_wh > 0 OR (g.system = 'bike' AND g.weight_mg >= 5000000))
    AND (g.bought_on IS NULL OR g.bought_on <= t.start_on)
    AND (g.retired_on IS NULL OR g.retired_on > t.start_on)
),
spares AS (
  SELECT h.item, min(m.item) AS spare_for
  FROM (
    SELECT item, unnest(needs) AS other FROM holding WHERE capacity_wh > 0
    UNION ALL
    SELECT h.item, n.item
    FROM (SELECT item, unnest(needs) AS needed FROM holding WHERE system = 'bike') AS n
    JOIN holding AS h ON h.item = n.needed AND h.capacity_wh > 0 AND h.system <> 'bike'
  ) AS h
  JOIN holding AS m ON m.item = h.other AND m.system = 'bike'
  GROUP BY h.item
),
listed AS (
  SELECT item, CAST(sum(quantity) AS BIGINT) AS pieces
  FROM stg_carried
  WHERE trip = $trip
  GROUP BY item
),
weighed AS (
  SELECT w.item, w.weight_mg
  FROM stg_weighings AS w
  JOIN stg_trips AS t ON t.trip = $trip
  WHERE t.start_on >= w.weighed_on
    AND (w.next_weighed_on IS NULL OR t.start_on < w.next_weighed_on)
)
SELECT
  h.item,
  h.name,
  h.system,
  h.capacity_wh,
  coalesce(w.weight_mg, h.weight_mg) AS weight_mg,
  s.spare_for,
  coalesce(l.pieces, 0) AS pieces
FROM holding AS h
LEFT JOIN spares AS s ON s.item = h.item
LEFT JOIN listed AS l ON l.item = h.item
LEFT JOIN weighed AS w ON w.item = h.item
WHERE h.system = 'bike' OR s.item IS NOT NULL
ORDER BY h.item
