-- Grain: trip that is no plan, item that came along and is meant for certain conditions: whether it
-- had its chance.
-- It had if one of its conditions came about while it was along, it had not if none did on days that
-- are all known, else `chance` is missing. Items that are meant for any weather always have.
WITH told AS (
  SELECT c.trip, c.item, h.happened
  FROM stg_carried AS c
  JOIN item_conditions AS i ON i.item = c.item
  JOIN stg_trips AS t ON t.trip = c.trip
  JOIN trip_conditions AS h
    ON h.trip = c.trip
    AND h.condition = i.condition
    AND h.cold_below_c IS NOT DISTINCT FROM i.cold_below_c
  WHERE
    NOT t.plan
    AND (c.from_day IS NULL OR c.from_day <= t.start_on)
    AND (c.until_day IS NULL OR c.until_day >= t.end_on)
  UNION ALL
  SELECT trip, item, happened
  FROM stay_conditions
)
SELECT
  trip,
  item,
  CASE WHEN bool_or(happened) THEN true WHEN count(*) = count(happened) THEN false END AS chance
FROM told
GROUP BY trip, item
