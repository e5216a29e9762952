-- The sleep gear that comes along on each night of one trip, planned or past, where any of it is rated.
WITH spine AS (
  SELECT CAST(unnest(range(start_on, end_on, INTERVAL 1 DAY)) AS DATE) AS night
  FROM stg_trips
  WHERE trip = $trip
),
bedding AS (
  SELECT DISTINCT s.night, g.item, g.name, g.rated_low_c
  FROM spine AS s
  JOIN carried_rows AS c ON c.trip = $trip AND s.night >= c.from_on AND s.night < c.until_on
  JOIN stg_gear AS g ON g.item = c.item
  WHERE g.system = 'sleep'
)
SELECT
  night,
  list(item ORDER BY item) AS items,
  list(name ORDER BY item) AS names,
  min(rated_low_c) AS rated_low_c,
  min_by(name, (rated_low_c, item)) FILTER (rated_low_c IS NOT NULL) AS rated_name
FROM bedding
GROUP BY night
HAVING min(rated_low_c) IS NOT NULL
ORDER BY night
