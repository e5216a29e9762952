-- The trip ahead, and every trip that is no plan and was over before it began, the latest last.
-- `south`: its place is south of the equator. `listed`: something was noted as carried.
SELECT
  t.trip,
  t.title,
  t.start_on,
  t.end_on,
  t.mode,
  t.nights,
  u.usual_low_c,
  coalesce(t.latitude < 0, false) AS south,
  t.trip IN (SELECT trip FROM stg_carried) AS listed
FROM stg_trips AS t
JOIN trip_usual_lows AS u ON u.trip = t.trip
WHERE t.trip = $trip OR (NOT t.plan AND t.end_on <= $start_on)
ORDER BY t.start_on, t.end_on, t.trip
