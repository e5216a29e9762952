-- How many records could not be loaded, of the given trips and of what belongs to no trip.
SELECT count(DISTINCT ("file", line)) AS records
FROM stg_set_aside
WHERE trip IS NULL OR list_contains(CAST($trips AS VARCHAR[]), trip)
