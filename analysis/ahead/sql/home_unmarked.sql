-- Things of which it is noted what came home, on a trip over before trip $trip begins, and that are no
-- consumable: no amount can be worked out of them. Neither water nor insurance is among them.
SELECT DISTINCT g.item, g.name
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
JOIN stg_trips AS ahead ON ahead.trip = $trip
WHERE
  NOT c.plan
  AND c.trip <> ahead.trip
  AND c.end_on <= ahead.start_on
  AND c.brought_home_mg IS NOT NULL
  AND c.carried_as <> 'consumable'
  AND g.system <> 'water'
  AND NOT g.insurance
ORDER BY g.item
