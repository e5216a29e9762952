-- Consumables not given up by $day of which nothing came home from the latest trip that took place and
-- had them, over by $until if that is given and trip $apart left out: every row of them is noted, and
-- with nothing left.
WITH over AS (
  SELECT c.item, c.brought_home_mg, t.trip, dense_rank() OVER (
    PARTITION BY c.item ORDER BY t.start_on DESC, t.trip DESC
  ) AS place
  FROM carried_rows AS c
  JOIN stg_trips AS t ON t.trip = c.trip
  WHERE c.carried_as = 'consumable'
    AND NOT t.plan
    AND t.trip IS DISTINCT FROM CAST($apart AS VARCHAR)
    AND t.end_on <= coalesce(CAST($until AS DATE), t.end_on)
)
SELECT o.item, g.name, g.system, any_value(o.trip) AS trip
FROM over AS o
JOIN stg_gear AS g ON g.item = o.item
WHERE o.place = 1 AND (g.retired_on IS NULL OR g.retired_on > $day)
GROUP BY o.item, g.name, g.system
HAVING count(o.brought_home_mg) = count(*) AND sum(o.brought_home_mg) = 0
ORDER BY o.item
