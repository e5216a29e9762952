-- What its owner noted of things on one trip: of carrying them, then of using them, by day.
SELECT n.item, g.name, n.day, n.source, n.note
FROM (
  SELECT item, from_day AS day, 'carried' AS source, trim(note) AS note
  FROM stg_carried
  WHERE trip = $trip
  UNION
  SELECT item, day, 'used' AS source, trim(note) AS note
  FROM stg_used
  WHERE trip = $trip AND times > 0
  UNION
  SELECT item, day, 'not_used' AS source, trim(note) AS note
  FROM stg_used
  WHERE trip = $trip AND times = 0
) AS n
JOIN stg_gear AS g ON g.item = n.item
WHERE n.note <> ''
ORDER BY n.source, n.day NULLS FIRST, n.item, n.note
