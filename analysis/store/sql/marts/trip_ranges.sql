-- Grain: trip; plans among them: what bounds what it can tell of other trips.
-- `months`: a bit for each month that it touches, 1 for January. `lowest_c`: the coldest low measured,
-- missing where none was and of plans.
SELECT
  t.trip,
  t.mode,
  t.nights,
  CAST(
    list_sum([
      1 << ((month(t.start_on) - 1 + step) % 12)
      FOR step IN range(0, least(12, datediff('month', t.start_on, t.end_on) + 1))
    ]) AS INTEGER
  ) AS months,
  w.lowest_c
FROM stg_trips AS t
LEFT JOIN trip_weather AS w ON w.trip = t.trip
