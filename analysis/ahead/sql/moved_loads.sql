-- What is moved from the start of every trip over before trip $trip begins, and of that trip: on
-- oneself and what goes with the vehicle, in kg, and the things along that hold energy.
SELECT
  c.trip,
  CAST(sum(c.row_mg) FILTER (c.carried_as <> 'vehicle') AS BIGINT) / 1000000 AS load_kg,
  CAST(sum(c.row_mg) FILTER (c.carried_as = 'vehicle') AS BIGINT) / 1000000 AS vehicle_kg,
  max(c.row_mg) FILTER (c.carried_as = 'vehicle' AND c.system = 'bike') / 1000000 AS heaviest_kg,
  list(DISTINCT c.item ORDER BY c.item) FILTER (g.capacity_wh > 0) AS holding
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
JOIN stg_trips AS t ON t.trip = c.trip
JOIN stg_trips AS ahead ON ahead.trip = $trip
WHERE c.on_me AND (c.trip = ahead.trip OR (NOT c.plan AND t.end_on <= ahead.start_on))
GROUP BY c.trip
ORDER BY c.trip
