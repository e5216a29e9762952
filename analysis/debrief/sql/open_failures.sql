-- What broke on one trip or an earlier one and is not fixed, of gear not given up by $today.
SELECT
  f.item,
  g.name,
  g.system,
  f.trip,
  f.day,
  f.severity,
  f.what,
  f.fixed_with
FROM stg_failures AS f
JOIN stg_gear AS g ON g.item = f.item
JOIN stg_trips AS t ON t.trip = f.trip
JOIN stg_trips AS now ON now.trip = $trip
WHERE
  f.fixed_on IS NULL
  AND (g.retired_on IS NULL OR g.retired_on > $today)
  AND (t.trip = now.trip OR NOT t.plan)
  AND (t.start_on, t.end_on, t.trip) <= (now.start_on, now.end_on, now.trip)
ORDER BY
  list_position(['unsafe', 'lost_use', 'impaired', 'nuisance'], f.severity),
  f.day,
  f.item,
  f.what
