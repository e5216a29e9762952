-- The trips of a period, mode or season that are no plans, the latest last.
SELECT t.trip, t.start_on, t.end_on, t.nights, t.mode, t.season, r.use_record
FROM stg_trips AS t
JOIN trip_use_records AS r ON r.trip = t.trip
WHERE
  NOT t.plan
  AND ($since IS NULL OR t.start_on >= CAST($since AS DATE))
  AND ($until IS NULL OR t.start_on <= CAST($until AS DATE))
  AND ($mode IS NULL OR t.mode = $mode)
  AND ($season IS NULL OR t.season = $season)
ORDER BY t.start_on, t.end_on, t.trip
