-- What its owner noted of things on one trip: of carrying them, with the day on which they came or
-- went where that is a part of the trip, then of using them, by day.
SELECT n.item, g.name, n.day, n.source, n.note
FROM (
  SELECT
    item,
    coalesce(from_day, until_day) AS day,
    CASE
      WHEN from_day IS NOT NULL THEN 'carried_from'
      WHEN until_day IS NOT NULL THEN 'carried_until'
      ELSE 'carried'
    END AS source,
    trim(note) AS note
  FROM stg_carried
  WHERE trip = $trip
  UNION
  SELECT item, day, CASE WHEN times > 0 THEN 'used' ELSE 'not_used' END AS source, trim(note) AS note
  FROM stg_used
  WHERE trip = $trip
) AS n
JOIN stg_gear AS g ON g.item = n.item
WHERE n.note <> ''
ORDER BY n.source, n.day NULLS FIRST, n.item, n.note
