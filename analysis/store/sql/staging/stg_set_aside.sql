-- One row a problem of a record that was set aside.
SELECT
  "file",
  line,
  "column",
  "value",
  problem,
  nearest,
  raw,
  trip,
  cause
FROM set_aside
