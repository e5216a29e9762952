-- Grain: item, with its weight of today: the latest weighing, else the gear's own.
WITH latest AS (
  SELECT item, weight_mg
  FROM stg_weighings
  WHERE next_weighed_on IS NULL
)
SELECT g.* REPLACE (coalesce(l.weight_mg, g.weight_mg) AS weight_mg)
FROM stg_gear AS g
LEFT JOIN latest AS l ON l.item = g.item
