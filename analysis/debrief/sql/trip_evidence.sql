-- How many days and nights of one trip each kind of evidence covers.
SELECT
  (SELECT count(DISTINCT day) FROM stg_distances WHERE trip = $trip) AS distance_days,
  (SELECT count(DISTINCT day) FROM stg_distances WHERE trip = $trip AND ascent_mm IS NOT NULL)
    AS ascent_days,
  (SELECT count(DISTINCT day) FROM stg_distances WHERE trip = $trip AND hours IS NOT NULL)
    AS hours_days,
  (SELECT count(DISTINCT day) FROM stg_distances WHERE trip = $trip AND battery_wh IS NOT NULL)
    AS battery_days,
  (SELECT count(*) FROM stg_weather WHERE trip = $trip) AS weather_days
