-- The days on which things came along on trips with a score: first and last day of each carried row.
SELECT DISTINCT c.trip, c.item, c.from_on, c.until_on
FROM carried_rows AS c
SEMI JOIN stg_comfort AS s ON s.trip = c.trip
WHERE NOT c.plan
ORDER BY c.trip, c.item, c.from_on, c.until_on
