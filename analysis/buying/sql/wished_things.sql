-- Everything that was missed on a trip that took place and is no item of gear.csv, as it was typed; how
-- much is missing where it is not noted.
SELECT w.what, w.system, w.how_much, w.trip, t.title, t.start_on
FROM stg_wished AS w
JOIN stg_trips AS t ON t.trip = w.trip
WHERE NOT t.plan AND w.what IS NOT NULL
ORDER BY t.start_on, w.trip, w.what, w.how_much
