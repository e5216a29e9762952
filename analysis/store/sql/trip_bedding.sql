-- The sleep gear that comes along on each night of one trip, planned or past, and of its ratings the
-- one that is lowest on the limit scale, missing where none is rated. On a plan, what was given up
-- by its start does not come along, whatever the list says.
WITH spine AS (
  SELECT plan, start_on, CAST(unnest(range(start_on, end_on, INTERVAL 1 DAY)) AS DATE) AS night
  FROM stg_trips
  WHERE trip = $trip
),
bedding AS (
  SELECT DISTINCT s.night, g.item, g.name, r.as_limit_c
  FROM spine AS s
  JOIN carried_rows AS c ON c.trip = $trip AND s.night >= c.from_on AND s.night < c.until_on
  JOIN stg_gear AS g ON g.item = c.item
  LEFT JOIN sleep_ratings AS r ON r.item = g.item
  WHERE
    g.system = 'sleep'
    AND NOT (s.plan AND g.retired_on IS NOT NULL AND g.retired_on <= s.start_on)
),
sets AS (
  SELECT
    night,
    list(item ORDER BY item) AS items,
    list(name ORDER BY item) AS names,
    min_by(item, (as_limit_c, item)) FILTER (as_limit_c IS NOT NULL) AS rated_item
  FROM bedding
  GROUP BY night
)
SELECT
  s.night,
  s.items,
  s.names,
  s.rated_item,
  r.name AS rated_name,
  r.rated_low_c,
  r.rated_as,
  r.as_limit_c
FROM sets AS s
LEFT JOIN sleep_ratings AS r ON r.item = s.rated_item
ORDER BY s.night
