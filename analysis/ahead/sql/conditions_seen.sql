-- Whatever things are meant for: of how many of the trips $trips it is known whether it came about, and
-- on how many it did. Cold is a matter of nights: a trip without one tells nothing of it.
SELECT
  c.condition,
  c.cold_below_c,
  count(c.happened) AS known,
  count(*) FILTER (c.happened) AS met
FROM trip_conditions AS c
JOIN stg_trips AS t ON t.trip = c.trip
WHERE c.trip = ANY($trips) AND (c.condition <> 'cold' OR t.end_on > t.start_on)
GROUP BY c.condition, c.cold_below_c
ORDER BY c.condition, c.cold_below_c
