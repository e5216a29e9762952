-- The lowest rating among the sleep gear that comes along on one trip, plan or not.
SELECT g.name, g.rated_low_c, g.rated_as
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
WHERE c.trip = $trip AND g.system = 'sleep' AND g.rated_low_c IS NOT NULL
ORDER BY g.rated_low_c, g.item
LIMIT 1
