-- Grain: item, condition that it is meant for; for cold with the low under which. Items that are
-- meant for any weather have no row.
WITH conditions AS (
  SELECT DISTINCT item, unnest(meant_for) AS condition, cold_below_c
  FROM stg_gear
  WHERE NOT list_contains(meant_for, 'any')
)
SELECT item, condition, CASE WHEN condition = 'cold' THEN cold_below_c END AS cold_below_c
FROM conditions
