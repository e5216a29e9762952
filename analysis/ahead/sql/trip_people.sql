-- Trip $trip: how long it is and for how many people. `south`: its place is south of the equator or,
-- where that is not noted, that of the latest trip before it with a place.
SELECT
  t.nights,
  t.nights + 1 AS days,
  t.people,
  coalesce(
    t.latitude,
    (
      SELECT arg_max(b.latitude, (b.end_on, b.trip))
      FROM stg_trips AS b
      WHERE NOT b.plan AND b.end_on <= t.start_on AND b.latitude IS NOT NULL
    ),
    0
  ) < 0 AS south
FROM stg_trips AS t
WHERE t.trip = $trip
