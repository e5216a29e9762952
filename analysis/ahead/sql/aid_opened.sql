-- First aid, or what served as first aid, of the things $items that was used on a trip over before
-- trip $trip begins and not looked over since: the day on which it was last opened.
WITH over AS (
  SELECT t.trip, t.end_on
  FROM stg_trips AS t
  JOIN stg_trips AS ahead ON ahead.trip = $trip
  WHERE NOT t.plan AND t.trip <> ahead.trip AND t.end_on <= ahead.start_on
),
opened AS (
  SELECT n.item, o.end_on AS day
  FROM trip_item_use AS n
  JOIN over AS o ON o.trip = n.trip
  WHERE n.system = 'first_aid' AND (n.said_times > 0 OR n.used)
  UNION ALL
  SELECT s.item, coalesce(s.day, o.end_on) AS day
  FROM stg_used AS s
  JOIN over AS o ON o.trip = s.trip
  JOIN stg_gear AS k ON k.item = s.item
  WHERE coalesce(s.used_for, k.system) = 'first_aid' AND s.times > 0
)
SELECT o.item, g.name, g.system, max(o.day) AS day
FROM opened AS o
JOIN stg_gear AS g ON g.item = o.item
JOIN stg_trips AS ahead ON ahead.trip = $trip
WHERE o.item = ANY($items)
GROUP BY o.item, g.name, g.system, g.checked_on, ahead.start_on
HAVING g.checked_on IS NULL OR g.checked_on <= max(o.day) OR g.checked_on > ahead.start_on
ORDER BY o.item
