-- Consumables among the things $items of which nothing came home from the latest trip over before
-- trip $trip begins that had them: every row of them is noted, and with nothing left.
WITH over AS (
  SELECT c.item, c.brought_home_mg, t.trip, dense_rank() OVER (
    PARTITION BY c.item ORDER BY t.start_on DESC, t.trip DESC
  ) AS place
  FROM carried_rows AS c
  JOIN stg_trips AS t ON t.trip = c.trip
  JOIN stg_trips AS ahead ON ahead.trip = $trip
  WHERE c.carried_as = 'consumable' AND c.system <> 'water' AND c.item = ANY($items)
    AND NOT t.plan AND t.trip <> ahead.trip AND t.end_on <= ahead.start_on
)
SELECT o.item, g.name, g.system, any_value(o.trip) AS trip
FROM over AS o
JOIN stg_gear AS g ON g.item = o.item
WHERE o.place = 1
GROUP BY o.item, g.name, g.system
HAVING count(o.brought_home_mg) = count(*) AND sum(o.brought_home_mg) = 0
ORDER BY o.item
