-- One row a failure.
SELECT
  trip,
  item,
  day,
  severity,
  what,
  fixed_with,
  fixed_on,
  note
FROM failures
