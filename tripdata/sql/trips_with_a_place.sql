SELECT trip, latitude, longitude, station
FROM trip
WHERE (latitude IS NOT NULL AND longitude IS NOT NULL) OR station IS NOT NULL
ORDER BY trip
