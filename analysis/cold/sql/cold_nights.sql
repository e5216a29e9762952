-- Every night of a trip that is no plan on which sleep gear was there: its low, how it was scored and
-- how warm it felt, the sleep gear by item, and of its ratings the one that is lowest on the limit
-- scale. Where the thermometer has no reading in the small hours it may have been colder: the low
-- is missing here. `set_apart`: some of it, or the shelter, had failed. With $before, only nights of
-- trips that were over by that day.
WITH bedding AS (
  SELECT DISTINCT n.trip, n.night, g.item, g.name, r.rated_low_c, r.rated_as, r.as_limit_c
  FROM nights AS n
  JOIN carried_rows AS c ON c.trip = n.trip AND n.night >= c.from_on AND n.night < c.until_on
  JOIN stg_gear AS g ON g.item = c.item
  LEFT JOIN sleep_ratings AS r ON r.item = g.item
  WHERE g.system = 'sleep'
),
sets AS (
  SELECT
    trip,
    night,
    list(item ORDER BY item) AS items,
    list(name ORDER BY item) AS names,
    min_by(item, (as_limit_c, item)) FILTER (as_limit_c IS NOT NULL) AS rated_item
  FROM bedding
  GROUP BY trip, night
),
apart AS (
  SELECT DISTINCT trip, night
  FROM nights_set_apart
)
SELECT
  n.trip,
  n.night,
  CASE WHEN n.low_source <> 'logger_part' THEN n.low_c END AS low_c,
  n.sleep_score,
  n.warmth,
  s.items,
  s.names,
  s.rated_item,
  r.name AS rated_name,
  r.rated_low_c,
  r.rated_as,
  r.as_limit_c,
  a.trip IS NOT NULL AS set_apart
FROM nights AS n
JOIN sets AS s ON s.trip = n.trip AND s.night = n.night
JOIN stg_trips AS t ON t.trip = n.trip
LEFT JOIN sleep_ratings AS r ON r.item = s.rated_item
LEFT JOIN apart AS a ON a.trip = n.trip AND a.night = n.night
WHERE CAST($before AS DATE) IS NULL OR t.end_on <= $before
ORDER BY t.start_on, n.trip, n.night
