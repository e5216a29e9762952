-- Every name that a sentence may put in quotation marks and that is not a trip's.
SELECT name FROM stg_gear WHERE name IS NOT NULL
UNION
SELECT name FROM stg_candidates WHERE name IS NOT NULL
ORDER BY name
