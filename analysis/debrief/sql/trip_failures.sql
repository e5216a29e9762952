-- What broke on one trip.
SELECT
  f.item,
  g.name,
  g.system,
  f.day,
  f.severity,
  f.what,
  f.fixed_with,
  f.fixed_on,
  nullif(trim(f.note), '') AS note
FROM stg_failures AS f
JOIN stg_gear AS g ON g.item = f.item
WHERE f.trip = $trip
ORDER BY f.day, f.item, f.severity, f.what, f.fixed_with, f.fixed_on, note
