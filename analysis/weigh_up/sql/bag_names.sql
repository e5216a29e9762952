-- Every name that a bag has on any trip.
SELECT DISTINCT bag
FROM stg_carried
WHERE bag IS NOT NULL
ORDER BY bag
