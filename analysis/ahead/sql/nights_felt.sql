-- Each night of trip $trip and how warm it felt; missing, too, where sleep or shelter gear had
-- failed, which says nothing of the gear as it was expected.
SELECT
  n.night,
  CASE WHEN a.night IS NULL THEN n.warmth END AS warmth
FROM nights AS n
LEFT JOIN (SELECT DISTINCT trip, night FROM nights_set_apart) AS a
  ON a.trip = n.trip AND a.night = n.night
WHERE n.trip = $trip
ORDER BY n.night
