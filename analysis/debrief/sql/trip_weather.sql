-- What is noted of the weather on each day of one trip; a day of which nothing is, is no row. Snow:
-- whether it is among the conditions that are noted of the day.
SELECT
  day,
  wet,
  rain_mm,
  wind_kmh,
  coalesce(
    len(
      list_filter(
        conditions,
        lambda word: contains(lower(word), 'snow') AND NOT starts_with(lower(word), 'no ')
      )
    ) > 0,
    false
  ) AS snow
FROM stg_weather
WHERE trip = $trip AND (wet IS NOT NULL OR wind_kmh IS NOT NULL)
ORDER BY day
