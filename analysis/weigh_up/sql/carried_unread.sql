-- How many carried records of trip $trip could not be loaded.
SELECT count(DISTINCT ("file", line)) AS records
FROM stg_set_aside
WHERE trip = $trip AND regexp_matches("file", '(^|/)carried(-[^/]*)?\.[^./]*$')
