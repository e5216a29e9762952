-- What was wished for on the trips $trips, the latest last: an owned thing that stayed at home, or
-- something in words. `went_along`: the thing was on that trip's list after all.
SELECT
  w.trip,
  t.title,
  w.item,
  w.what,
  w.how_much,
  w.item IN (SELECT c.item FROM stg_carried AS c WHERE c.trip = w.trip) AS went_along
FROM stg_wished AS w
JOIN stg_trips AS t ON t.trip = w.trip
WHERE w.trip = ANY(CAST($trips AS VARCHAR[]))
ORDER BY t.start_on, t.end_on, w.trip, w.item, w.what
