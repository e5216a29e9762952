SELECT "file", line FROM set_aside
WHERE lower(trip) = lower($trip) AND regexp_matches("file", '(^|/)trip(-[^/]*)?\.[^./]*$')
ORDER BY "file", line
