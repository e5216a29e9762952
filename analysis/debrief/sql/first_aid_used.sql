-- What one trip used of first aid, or for first aid. What was used is told whatever the record, since
-- an opened dressing has to be replaced all the same.
SELECT u.item, g.name, g.system, max(u.last_day) AS day
FROM (
  SELECT n.item, n.said_times > 0 OR n.used AS used, CAST(NULL AS DATE) AS last_day
  FROM trip_item_use AS n
  WHERE n.trip = $trip AND n.system = 'first_aid'
  UNION ALL
  SELECT s.item, s.times > 0 AS used, s.day AS last_day
  FROM stg_used AS s
  JOIN stg_gear AS k ON k.item = s.item
  WHERE s.trip = $trip AND coalesce(s.used_for, k.system) = 'first_aid'
) AS u
JOIN stg_gear AS g ON g.item = u.item
WHERE u.used
GROUP BY u.item, g.name, g.system
ORDER BY u.item
