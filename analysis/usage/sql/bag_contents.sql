-- What travelled in every item that a carried row names as its bag, by its short name or its name, on
-- any trip, plans among them; with $trips on those alone.
WITH packed AS (
  SELECT DISTINCT lower(nfc_normalize(bag)) AS bag, item
  FROM stg_carried
  WHERE bag IS NOT NULL AND ($trips IS NULL OR trip = ANY(CAST($trips AS VARCHAR[])))
),
keyed AS (
  SELECT DISTINCT unnest([bag, replace(bag, ' ', '-')]) AS bag, item
  FROM packed
),
names AS (
  SELECT item, lower(nfc_normalize(item)) AS bag FROM stg_gear
  UNION
  SELECT item, lower(nfc_normalize(name)) AS bag FROM stg_gear
)
SELECT DISTINCT n.item AS bag, k.item
FROM keyed AS k
JOIN names AS n ON n.bag = k.bag
WHERE k.item <> n.item
ORDER BY bag, k.item
