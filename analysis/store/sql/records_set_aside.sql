-- How many records of the logbook could not be loaded.
SELECT count(DISTINCT ("file", line)) AS records
FROM stg_set_aside
