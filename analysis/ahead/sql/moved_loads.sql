-- What is moved from the start of every trip over before trip $trip begins, and of that trip: on
-- oneself and what goes with the vehicle, in kg. `machines`: its things of the system bike that go with
-- the vehicle, each with its kg and whether it may drive: it holds energy, and is no spare battery of
-- another thing of that system.
WITH spares AS (
  SELECT DISTINCT o.item
  FROM (SELECT item, unnest(needs) AS needed FROM stg_gear) AS o
  JOIN stg_gear AS m ON m.item = o.needed AND m.system = 'bike'
),
per_item AS (
  SELECT
    c.trip,
    c.item,
    g.capacity_wh > 0 AND s.item IS NULL AS drives,
    CAST(sum(c.row_mg) AS BIGINT) / 1000000 AS kg
  FROM carried_rows AS c
  JOIN stg_gear AS g ON g.item = c.item
  LEFT JOIN spares AS s ON s.item = c.item
  WHERE c.on_me AND c.system = 'bike' AND (c.carried_as = 'vehicle' OR g.capacity_wh > 0)
  GROUP BY ALL
),
machines AS (
  SELECT
    trip,
    list({'item': item, 'kg': kg, 'drives': drives} ORDER BY item) AS machines
  FROM per_item
  GROUP BY trip
)
SELECT
  c.trip,
  CAST(sum(c.row_mg) FILTER (c.carried_as <> 'vehicle') AS BIGINT) / 1000000 AS load_kg,
  CAST(sum(c.row_mg) FILTER (c.carried_as = 'vehicle') AS BIGINT) / 1000000 AS vehicle_kg,
  any_value(m.machines) AS machines
FROM carried_rows AS c
JOIN stg_trips AS t ON t.trip = c.trip
JOIN stg_trips AS ahead ON ahead.trip = $trip
LEFT JOIN machines AS m ON m.trip = c.trip
WHERE c.on_me AND (c.trip = ahead.trip OR (NOT c.plan AND t.end_on <= ahead.start_on))
GROUP BY c.trip
ORDER BY c.trip
