-- What failed more than once on trips that took place, of gear not given up by $today; the most often
-- first.
SELECT
  f.item,
  any_value(g.name) AS name,
  count(*) AS failures,
  max(coalesce(f.day, t.start_on)) AS last_on,
  count(*) FILTER (f.fixed_on IS NULL) AS not_fixed
FROM stg_failures AS f
JOIN stg_gear AS g ON g.item = f.item
JOIN stg_trips AS t ON t.trip = f.trip
WHERE NOT t.plan AND (g.retired_on IS NULL OR g.retired_on > $today)
GROUP BY f.item
HAVING count(*) > 1
ORDER BY failures DESC, last_on DESC, f.item
