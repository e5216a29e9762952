-- Every trip, the latest last.
SELECT trip, title, start_on, end_on, mode, plan
FROM stg_trips
ORDER BY start_on, end_on, trip
