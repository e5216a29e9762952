-- Grain: trip that is no plan, item that stayed at home and was missed.
SELECT DISTINCT w.trip, w.item
FROM stg_wished AS w
JOIN stg_trips AS t ON t.trip = w.trip
ANTI JOIN stg_carried AS c ON c.trip = w.trip AND c.item = w.item
WHERE NOT t.plan AND w.item IS NOT NULL
