-- Trip $trip: how long it is and for how many people.
SELECT nights, nights + 1 AS days, people
FROM stg_trips
WHERE trip = $trip
