-- Grain: trip of which anything came along; plans among them. What weighed on me at its start.
-- A kind's sum is 0 where nothing of that kind weighs on me, missing where nothing of it is weighed
-- or where the trip has nothing on me at the start (`laden` is false).
WITH sums AS (
  SELECT
    trip,
    bool_or(on_me) AS laden,
    count(*) FILTER (on_me AND carried_as = 'base') AS base_rows,
    count(*) FILTER (on_me AND carried_as = 'worn') AS worn_rows,
    count(*) FILTER (on_me AND carried_as = 'consumable') AS consumable_rows,
    count(*) FILTER (on_me AND carried_as = 'vehicle') AS vehicle_rows,
    CAST(sum(row_mg) FILTER (on_me AND carried_as = 'base') AS BIGINT) AS base_mg,
    CAST(sum(row_mg) FILTER (on_me AND carried_as = 'worn') AS BIGINT) AS worn_mg,
    CAST(sum(row_mg) FILTER (on_me AND carried_as = 'consumable') AS BIGINT) AS consumable_mg,
    CAST(sum(row_mg) FILTER (on_me AND carried_as = 'vehicle') AS BIGINT) AS vehicle_mg
  FROM carried_rows
  GROUP BY trip
)
SELECT
  trip,
  laden,
  coalesce(base_mg, CASE WHEN laden AND base_rows = 0 THEN 0 END) AS base_mg,
  coalesce(worn_mg, CASE WHEN laden AND worn_rows = 0 THEN 0 END) AS worn_mg,
  coalesce(consumable_mg, CASE WHEN laden AND consumable_rows = 0 THEN 0 END) AS consumable_mg,
  coalesce(vehicle_mg, CASE WHEN laden AND vehicle_rows = 0 THEN 0 END) AS vehicle_mg
FROM sums
