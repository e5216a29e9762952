-- What failed on a trip that took place and is not fixed, of gear not given up by $today; the worst
-- first.
SELECT f.item, g.name, g.system, f.trip, t.title, f.day, f.severity, f.what, f.fixed_with
FROM stg_failures AS f
JOIN stg_gear AS g ON g.item = f.item
JOIN stg_trips AS t ON t.trip = f.trip
WHERE NOT t.plan AND f.fixed_on IS NULL AND (g.retired_on IS NULL OR g.retired_on > $today)
ORDER BY
  list_position(['unsafe', 'lost_use', 'impaired', 'nuisance'], f.severity), f.day, f.item, f.what
