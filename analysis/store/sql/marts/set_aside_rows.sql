-- Grain: problem of a record that was set aside.
SELECT
  "file",
  line,
  "column",
  "value",
  problem,
  nearest,
  raw,
  trip
FROM stg_set_aside
ORDER BY "file", line, "column", "value", problem
