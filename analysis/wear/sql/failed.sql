-- What failed on trips that took place, over by $until if that is given and trip $apart left out, of
-- things not given up by $day. `fixed`: mended by $day; `last_time`: on no later one of those trips the
-- thing came along; `times`: its failures in all; `last_on`: the day of the last; `checked_since`: it was
-- looked over after that. The worst first.
WITH over AS (
  SELECT trip, start_on, end_on
  FROM stg_trips
  WHERE NOT plan
    AND trip IS DISTINCT FROM CAST($apart AS VARCHAR)
    AND end_on <= coalesce(CAST($until AS DATE), end_on)
),
latest AS (
  SELECT c.item, max(o.start_on) AS start_on
  FROM stg_carried AS c
  JOIN over AS o ON o.trip = c.trip
  GROUP BY c.item
),
failed AS (
  SELECT
    f.item,
    f.trip,
    f.day,
    f.severity,
    f.what,
    f.fixed_with,
    f.fixed_on IS NOT NULL AND f.fixed_on <= $day AS fixed,
    o.start_on,
    count(*) OVER (PARTITION BY f.item) AS times,
    max(coalesce(f.day, o.end_on)) OVER (PARTITION BY f.item) AS last_on
  FROM stg_failures AS f
  JOIN over AS o ON o.trip = f.trip
)
SELECT
  f.item,
  g.name,
  g.system,
  f.trip,
  f.day,
  f.severity,
  f.what,
  f.fixed_with,
  f.fixed,
  l.start_on IS NULL OR l.start_on <= f.start_on AS last_time,
  f.times,
  f.last_on,
  coalesce(g.checked_on > f.last_on AND g.checked_on <= $day, false) AS checked_since
FROM failed AS f
JOIN stg_gear AS g ON g.item = f.item
LEFT JOIN latest AS l ON l.item = f.item
WHERE g.retired_on IS NULL OR g.retired_on > $day
ORDER BY
  list_position(['unsafe', 'lost_use', 'impaired', 'nuisance'], f.severity), f.day, f.item, f.what
