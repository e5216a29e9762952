-- One row a used row.
SELECT
  trip,
  item,
  day,
  times,
  used_for,
  note
FROM used
