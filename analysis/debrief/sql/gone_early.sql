-- What to wear and to sleep in that went before trip $trip was over, with its last day along.
SELECT
  c.item,
  g.name,
  max(c.until_day) AS until_day
FROM stg_carried AS c
JOIN stg_gear AS g ON g.item = c.item
JOIN stg_trips AS t ON t.trip = c.trip
WHERE c.trip = $trip
  AND c.carried_by IS NULL
  AND g.system IN ('clothing', 'sleep')
GROUP BY c.item, g.name, t.end_on
HAVING bool_and(c.until_day IS NOT NULL) AND max(c.until_day) < t.end_on
ORDER BY until_day, g.name, c.item
