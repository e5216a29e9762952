-- Every night of a trip that is no plan on which sleep gear was there: its low, how warm it felt, and
-- the sleep gear by item, with the lowest rating among it. Where the thermometer has no reading in
-- the small hours it may have been colder: the low is missing here.
WITH bedding AS (
  SELECT DISTINCT n.trip, n.night, g.item, g.name, g.rated_low_c, g.rated_as
  FROM nights AS n
  JOIN carried_rows AS c ON c.trip = n.trip AND n.night >= c.from_on AND n.night < c.until_on
  JOIN stg_gear AS g ON g.item = c.item
  WHERE g.system = 'sleep'
),
sets AS (
  SELECT
    trip,
    night,
    list(item ORDER BY item) AS items,
    list(name ORDER BY item) AS names,
    min(rated_low_c) AS rated_low_c,
    min_by(rated_as, (rated_low_c, item)) FILTER (rated_low_c IS NOT NULL) AS rated_as,
    min_by(name, (rated_low_c, item)) FILTER (rated_low_c IS NOT NULL) AS rated_name
  FROM bedding
  GROUP BY trip, night
)
SELECT
  n.trip,
  n.night,
  CASE WHEN n.low_source <> 'logger_part' THEN n.low_c END AS low_c,
  n.warmth,
  s.items,
  s.names,
  s.rated_low_c,
  s.rated_as,
  s.rated_name
FROM nights AS n
JOIN sets AS s ON s.trip = n.trip AND s.night = n.night
JOIN stg_trips AS t ON t.trip = n.trip
ORDER BY t.start_on, n.trip, n.night
