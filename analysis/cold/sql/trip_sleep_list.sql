-- The sleep gear on the list of one trip, planned or past.
SELECT DISTINCT g.item
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
WHERE c.trip = $trip AND g.system = 'sleep'
ORDER BY g.item
