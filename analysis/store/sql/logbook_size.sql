-- Grain: one row, how much the logbook has.
SELECT
  count(*) FILTER (NOT plan) AS trips,
  count(*) FILTER (plan) AS plans,
  coalesce(CAST(sum(nights) FILTER (NOT plan) AS BIGINT), 0) AS nights,
  (SELECT count(*) FROM stg_gear) AS gear
FROM trips
