-- What failed on trips over by $day, and of which no repair is noted by then: a row a failure, the
-- worst of a thing first, then the latest.
SELECT f.item, g.name, g.system, f.severity, f.what, coalesce(f.day, t.end_on) AS day
FROM stg_failures AS f
JOIN stg_trips AS t ON t.trip = f.trip
JOIN stg_gear AS g ON g.item = f.item
WHERE
  NOT t.plan
  AND t.end_on <= $day
  AND (f.fixed_on IS NULL OR f.fixed_on > $day)
ORDER BY
  f.item,
  list_position(['unsafe', 'lost_use', 'impaired', 'nuisance'], f.severity),
  day DESC,
  f.what
