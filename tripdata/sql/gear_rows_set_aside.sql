SELECT count(DISTINCT ("file", line)) FROM set_aside
WHERE regexp_matches("file", '^gear(-[^/]*)?\.[^./]*$')
