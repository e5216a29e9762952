-- Every row on me of every trip that took place, with the days it came along.
SELECT c.trip, c.item, g.name, c.carried_as, c.row_mg, c.from_on, c.until_on, c.on_me
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
WHERE c.mine AND NOT c.plan
ORDER BY c.trip, c.item, c.carried_as, c.from_on, c.until_on, c.row_mg
