-- The latest earlier trip of the same mode that is no plan and of which anything weighed on me. A day
-- out is compared with a day out only: what one sleeps in is most of the difference to the rest.
SELECT t.trip, t.title, t.start_on
FROM stg_trips AS t
JOIN trip_loads AS l ON l.trip = t.trip
JOIN stg_trips AS now ON now.trip = $trip
WHERE
  NOT t.plan
  AND l.laden
  AND t.mode IS NOT DISTINCT FROM now.mode
  AND (t.nights = 0) = (now.nights = 0)
  AND (t.start_on, t.end_on, t.trip) < (now.start_on, now.end_on, now.trip)
ORDER BY t.start_on DESC, t.end_on DESC, t.trip DESC
LIMIT 1
