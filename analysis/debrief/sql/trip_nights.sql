-- The nights of one trip, with the rating that is lowest on the limit scale among the sleep gear
-- that was there.
WITH rated AS (
  SELECT DISTINCT ON (n.night)
    n.night,
    r.name AS rated_name,
    r.rated_low_c,
    r.rated_as
  FROM nights AS n
  JOIN carried_rows AS c ON c.trip = n.trip AND n.night >= c.from_on AND n.night < c.until_on
  JOIN sleep_ratings AS r ON r.item = c.item
  WHERE n.trip = $trip
  ORDER BY n.night, r.as_limit_c, r.item
)
SELECT
  n.night,
  n.low_c,
  n.low_source,
  n.normal_low_c,
  n.sleep_score,
  n.warmth,
  n.normal_low_sd_c,
  r.rated_low_c,
  r.rated_as,
  r.rated_name
FROM nights AS n
LEFT JOIN rated AS r ON r.night = n.night
WHERE n.trip = $trip
ORDER BY n.night
