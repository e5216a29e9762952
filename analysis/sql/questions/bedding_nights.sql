-- Every piece of sleep gear that was there on a night of a trip that took place: the night's low
-- (missing where no reading is from the small hours), its normal with spread and the latitude of
-- its station, how warm it felt, and the rating of the piece.
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
  g.rated_low_c
FROM nights AS n
JOIN stg_trips AS t ON t.trip = n.trip
LEFT JOIN night_normals AS m ON m.trip = n.trip AND m.night = n.night
JOIN carried_rows AS c ON c.trip = n.trip AND n.night >= c.from_on AND n.night < c.until_on
JOIN stg_gear AS g ON g.item = c.item
WHERE g.system = 'sleep'
ORDER BY t.start_on, n.trip, n.night, g.item
