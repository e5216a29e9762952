-- What failed of the things $items on trips over before trip $trip begins. `fixed`: it was mended by
-- $day; `last_time`: on no later one of those trips the thing came along.
WITH over AS (
  SELECT t.trip, t.start_on, t.end_on
  FROM stg_trips AS t
  JOIN stg_trips AS ahead ON ahead.trip = $trip
  WHERE NOT t.plan AND t.trip <> ahead.trip AND t.end_on <= ahead.start_on
),
latest AS (
  SELECT c.item, max(o.start_on) AS start_on
  FROM stg_carried AS c
  JOIN over AS o ON o.trip = c.trip
  GROUP BY c.item
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
  f.fixed_on IS NOT NULL AND f.fixed_on <= $day AS fixed,
  l.start_on IS NULL OR l.start_on <= o.start_on AS last_time
FROM stg_failures AS f
JOIN over AS o ON o.trip = f.trip
JOIN stg_gear AS g ON g.item = f.item
LEFT JOIN latest AS l ON l.item = f.item
WHERE f.item = ANY($items)
ORDER BY
  list_position(['unsafe', 'lost_use', 'impaired', 'nuisance'], f.severity), f.day, f.item, f.what
