-- First aid, or what served as first aid, of what is not given up by $day, that was used on a trip that
-- took place, over by $until if that is given and trip $apart left out, and not looked over since: the
-- day on which it was last opened. What was used is told whatever the record, since an opened dressing
-- has to be replaced all the same.
WITH over AS (
  SELECT trip, end_on
  FROM stg_trips
  WHERE NOT plan
    AND trip IS DISTINCT FROM CAST($apart AS VARCHAR)
    AND end_on <= coalesce(CAST($until AS DATE), end_on)
),
used AS (
  SELECT n.item, n.trip, CAST(NULL AS DATE) AS day
  FROM trip_item_use AS n
  JOIN over AS o ON o.trip = n.trip
  WHERE n.system = 'first_aid' AND (n.said_times > 0 OR n.used)
  UNION ALL
  SELECT s.item, s.trip, s.day
  FROM stg_used AS s
  JOIN over AS o ON o.trip = s.trip
  JOIN stg_gear AS k ON k.item = s.item
  WHERE coalesce(s.used_for, k.system) = 'first_aid' AND s.times > 0
),
opened AS (
  SELECT u.item, coalesce(max(u.day), any_value(o.end_on)) AS day
  FROM used AS u
  JOIN over AS o ON o.trip = u.trip
  GROUP BY u.item, u.trip
)
SELECT o.item, g.name, g.system, max(o.day) AS day
FROM opened AS o
JOIN stg_gear AS g ON g.item = o.item
WHERE g.retired_on IS NULL OR g.retired_on > $day
GROUP BY o.item, g.name, g.system, g.checked_on
HAVING g.checked_on IS NULL OR g.checked_on <= max(o.day) OR g.checked_on > $day
ORDER BY o.item
