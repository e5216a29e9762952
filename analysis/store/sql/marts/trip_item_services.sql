-- Grain: trip that is no plan, item, system other than its own that it served on the trip.
SELECT DISTINCT u.trip, u.item, u.used_for AS system
FROM stg_used AS u
JOIN stg_gear AS g ON g.item = u.item
JOIN stg_trips AS t ON t.trip = u.trip
WHERE NOT t.plan AND u.times > 0 AND u.used_for <> g.system
