INSERT INTO station_distances
SELECT unnest($trips), unnest($stations), unnest($distances), unnest($named)
