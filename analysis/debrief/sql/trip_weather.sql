-- What is noted of the weather on each day of one trip; a day of which nothing is, is no row.
SELECT
  day,
  wet,
  rain_mm,
  wind_kmh
FROM stg_weather
WHERE trip = $trip AND (wet IS NOT NULL OR wind_kmh IS NOT NULL)
ORDER BY day
