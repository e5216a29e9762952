-- Where one trip camped, and the station that it names.
SELECT latitude, longitude, elevation_m, station
FROM stg_trips
WHERE trip = $trip
