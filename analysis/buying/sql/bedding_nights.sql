-- Every piece of sleep gear that was there on a night of a trip that took place: the night's low
-- (missing where no reading is from the small hours), its normal with spread and the latitude of
-- its station, how warm it felt, and the piece's rating on the limit scale. `set_apart`: some of it,
-- or the shelter, had failed.
WITH apart AS (
  SELECT DISTINCT trip, night
  FROM nights_set_apart
)
SELECT DISTINCT
  n.trip,
  n.night,
  t.start_on,
  CASE WHEN n.low_source <> 'logger_part' THEN n.low_c END AS low_c,
  n.normal_low_c,
  n.normal_low_sd_c,
  m.station_latitude,
  n.warmth,
  g.item,
  r.as_limit_c,
  r.rated_as,
  a.trip IS NOT NULL AS set_apart
FROM nights AS n
JOIN stg_trips AS t ON t.trip = n.trip
LEFT JOIN night_normals AS m ON m.trip = n.trip AND m.night = n.night
JOIN carried_rows AS c ON c.trip = n.trip AND n.night >= c.from_on AND n.night < c.until_on
JOIN stg_gear AS g ON g.item = c.item
LEFT JOIN sleep_ratings AS r ON r.item = g.item
LEFT JOIN apart AS a ON a.trip = n.trip AND a.night = n.night
WHERE g.system = 'sleep'
ORDER BY t.start_on, n.trip, n.night, g.item
