-- Grain: station of which a file of daily normals 1991-2020 is at hand.
SELECT station, "file" FROM normal_sets
WHERE product = 'daily' AND period = '1991-2020' AND "file" IS NOT NULL
