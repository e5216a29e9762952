-- The nights on which sleep or shelter gear had failed, a row a night and thing, in order.
SELECT a.trip, t.title, a.night, a.name, a.why
FROM nights_set_apart AS a
JOIN stg_trips AS t ON t.trip = a.trip
ORDER BY t.start_on, a.trip, a.night, a.item
