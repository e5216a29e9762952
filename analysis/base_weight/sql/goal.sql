-- The base weight to be reached, in g, as tarebook.toml sets it; no row where it sets none.
SELECT CAST("value" AS DOUBLE) AS base_weight_g
FROM settings
WHERE key = 'goals.base_weight_g'
