-- Those of the trips $trips of which anything is noted as carried.
SELECT DISTINCT trip
FROM stg_carried
WHERE trip = ANY(CAST($trips AS VARCHAR[]))
ORDER BY trip
