SELECT trip, start_on, end_on, mode, plan, trip IN (SELECT trip FROM carried) AS listed
FROM trip
ORDER BY start_on, trip
