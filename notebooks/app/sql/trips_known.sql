-- One row a trip, with whether anything was noted of how it went: the latest first.
WITH noted AS (
  SELECT trip FROM distances
  UNION SELECT trip FROM weather
  UNION SELECT trip FROM comfort
  UNION SELECT trip FROM failures
  UNION SELECT trip FROM wished
  UNION SELECT trip FROM used
  UNION SELECT trip FROM carried WHERE used IS NOT NULL OR brought_home_mg IS NOT NULL
)
SELECT
  t.trip,
  coalesce(t.title, t.trip) AS title,
  t.start_on,
  t.end_on,
  t.mode,
  t.plan,
  t.trip IN (SELECT trip FROM carried) AS listed,
  t.trip IN (SELECT trip FROM noted) AS noted
FROM trip AS t
ORDER BY t.start_on DESC, t.trip
