-- Every station of which normals are known, with those that count.
SELECT *
FROM station_normals
ORDER BY station
