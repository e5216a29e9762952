-- Grain: trip that took place, the latest last; the low is that of its coldest night.
SELECT
  m.trip,
  m.title,
  m.start_on,
  m.end_on,
  m.nights,
  m.season,
  m.mode,
  t.place,
  nullif(trim(t.note), '') AS note,
  m.coldest_night_c AS low_c,
  m.base_g,
  m.distance_km,
  m.unweighed,
  m.set_aside
FROM trips AS m
JOIN stg_trips AS t ON t.trip = m.trip
WHERE NOT m.plan
ORDER BY m.start_on, m.end_on, m.trip
