-- Which item took over from which.
SELECT item, unnest(replaces) AS replaced
FROM stg_gear
ORDER BY item, replaced
