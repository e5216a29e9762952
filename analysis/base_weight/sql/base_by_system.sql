-- What each system weighed on me as base at the start of the given trips, where it weighed anything.
SELECT s.trip, s.system, s.base_mg
FROM trip_system_loads AS s
SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS chosen ON chosen.trip = s.trip
WHERE s.base_mg > 0
ORDER BY s.trip, s.system
