-- Grain: one row, what of the logbook's files is not in the store.
SELECT
  CAST(coalesce(sum(set_aside), 0) AS BIGINT) AS records,
  count(*) FILTER (unreadable) AS files
FROM files
