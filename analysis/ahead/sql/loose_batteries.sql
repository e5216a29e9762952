-- What may be a bike's battery, at hand when trip $trip begins, and is not known to be one: of
-- another system than bike, tied to no bike by `needs`, and with as much energy as a bike's battery
-- has ($least_wh), or heavy and called a battery. What is on the trip's list, where it has one.
WITH at_hand AS (
  SELECT g.item, g.name, g.system, g.capacity_wh, g.weight_mg, g.needs
  FROM stg_gear AS g
  JOIN stg_trips AS t ON t.trip = $trip
  WHERE (g.bought_on IS NULL OR g.bought_on <= t.start_on)
    AND (g.retired_on IS NULL OR g.retired_on > t.start_on)
),
tied AS (
  SELECT a.item
  FROM (SELECT item, unnest(needs) AS needed FROM at_hand) AS a
  JOIN at_hand AS b ON b.item = a.needed AND b.system = 'bike'
  UNION
  SELECT needed
  FROM (SELECT unnest(needs) AS needed FROM at_hand WHERE system = 'bike')
),
listed AS (
  SELECT DISTINCT item
  FROM stg_carried
  WHERE trip = $trip
)
SELECT a.item, a.name, a.system, a.capacity_wh
FROM at_hand AS a
WHERE a.system <> 'bike'
  AND (
    a.capacity_wh >= $least_wh
    OR (
      a.capacity_wh IS NULL
      AND a.weight_mg >= $least_mg
      AND regexp_matches(a.item || ' ' || a.name, 'batter|accu|akku', 'i')
    )
  )
  AND NOT EXISTS (SELECT 1 FROM tied AS t WHERE t.item = a.item AND a.capacity_wh > 0)
  AND (
    NOT EXISTS (SELECT 1 FROM listed)
    OR EXISTS (SELECT 1 FROM listed AS l WHERE l.item = a.item)
  )
ORDER BY a.item
