-- Whatever things are meant for: of how many trips over before trip $trip begins it is known whether
-- it came about, and on how many it did.
SELECT
  c.condition,
  c.cold_below_c,
  count(c.happened) AS known,
  count(*) FILTER (c.happened) AS met
FROM trip_conditions AS c
JOIN stg_trips AS t ON t.trip = c.trip
JOIN stg_trips AS ahead ON ahead.trip = $trip
WHERE NOT t.plan AND t.trip <> ahead.trip AND t.end_on <= ahead.start_on
GROUP BY c.condition, c.cold_below_c
ORDER BY c.condition, c.cold_below_c
