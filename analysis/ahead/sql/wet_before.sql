-- Of each of the trips $trips, how many days it had, of how many it is known whether they were wet, and
-- how many were.
SELECT trip, days, wet_known, wet_days
FROM trip_weather
WHERE trip = ANY($trips)
ORDER BY trip
