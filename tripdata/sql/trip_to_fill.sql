SELECT trip, start_on, end_on, mode FROM trip ORDER BY start_on, trip
