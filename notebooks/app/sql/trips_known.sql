-- One row a trip, with whether anything was noted of its days and nights, of what was used, and of how
-- it went at all: the latest first.
WITH days AS (
  SELECT trip FROM distances
  UNION SELECT trip FROM weather
  UNION SELECT trip FROM comfort
),
uses AS (
  SELECT trip FROM used
  UNION SELECT trip FROM carried WHERE used IS NOT NULL
),
noted AS (
  SELECT trip FROM days
  UNION SELECT trip FROM uses
  UNION SELECT trip FROM failures
  UNION SELECT trip FROM wished
  UNION SELECT trip FROM carried WHERE brought_home_mg IS NOT NULL
)
SELECT
  t.trip,
  coalesce(t.title, t.trip) AS title,
  t.start_on,
  t.end_on,
  t.mode,
  t.plan,
  t.trip IN (SELECT trip FROM carried) AS listed,
  t.trip IN (SELECT trip FROM noted) AS noted,
  t.trip IN (SELECT trip FROM days) AS with_days,
  t.trip IN (SELECT trip FROM uses) AS with_use
FROM trip AS t
ORDER BY t.start_on DESC, t.trip
