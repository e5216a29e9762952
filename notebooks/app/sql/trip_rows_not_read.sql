-- One row a problem of a row of trip.csv that was set aside.
SELECT DISTINCT "file", line, "column", trip
FROM set_aside
WHERE regexp_matches("file", '(^|/)trip(-[^/]*)?\.[^./]*$')
ORDER BY "file", line, "column"
