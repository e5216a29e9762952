-- Grain: group and name, of the rows that the lists have, a place a row.
-- Sums are of whole milligrams, of what is weighed, 0 where nothing is. Kits and bags group by
-- their keys, which know no case, and show the first of their spellings by the alphabet; what stands in none has a
-- blank name.
WITH load AS (
  SELECT
    unnest(CAST($items AS VARCHAR[])) AS item,
    unnest(CAST($systems AS VARCHAR[])) AS system,
    unnest(CAST($kits AS VARCHAR[])) AS kit,
    unnest(CAST($kit_keys AS VARCHAR[])) AS kit_key,
    unnest(CAST($bags AS VARCHAR[])) AS bag,
    unnest(CAST($bag_keys AS VARCHAR[])) AS bag_key,
    unnest(CAST($ways AS VARCHAR[])) AS carried_as,
    unnest(CAST($weights_mg AS BIGINT[])) AS row_mg
),
named AS (
  SELECT 'system' AS "group", system AS key, system AS name, * FROM load
  UNION ALL
  SELECT 'kit', kit_key, kit, * FROM load
  UNION ALL
  SELECT 'bag', bag_key, bag, * FROM load
  UNION ALL
  SELECT 'carried_as', carried_as, carried_as, * FROM load
  UNION ALL
  SELECT 'item', item, item, * FROM load
)
SELECT
  "group",
  coalesce(min(name), '') AS name,
  count(DISTINCT item) AS items,
  CAST(coalesce(sum(row_mg) FILTER (carried_as = 'base'), 0) AS BIGINT) AS base_mg,
  CAST(coalesce(sum(row_mg) FILTER (carried_as = 'worn'), 0) AS BIGINT) AS worn_mg,
  CAST(coalesce(sum(row_mg) FILTER (carried_as = 'consumable'), 0) AS BIGINT) AS consumable_mg,
  CAST(coalesce(sum(row_mg) FILTER (carried_as = 'vehicle'), 0) AS BIGINT) AS vehicle_mg,
  CAST(coalesce(sum(row_mg), 0) AS BIGINT) AS carried_mg,
  count(DISTINCT item) FILTER (row_mg IS NULL) AS unweighed,
  count(*) FILTER (row_mg IS NULL AND carried_as = 'base') AS base_rows_unweighed
FROM named
GROUP BY "group", key
ORDER BY "group", name
