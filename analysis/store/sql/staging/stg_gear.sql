-- One row an item owned or borrowed.
-- What is blank of `insurance` and `essential` goes by system, and insurance by kit as well: at least
-- half of the kit's things, of two or more, are insurance by their own cell or system, counted with or
-- without what is given up. Things of the vehicle neither count in a kit nor take after it.
-- `insurance_stated` and `essential_stated` are the cells: missing where nobody says.
WITH own AS (
  SELECT
    *,
    lower(nfc_normalize(kit)) AS kit_key,
    coalesce(
      insurance, "system" IN ('first_aid', 'safety', 'navigation', 'fire', 'repair')
    ) AS own_insurance
  FROM gear
),
kits AS (
  SELECT
    kit_key,
    count(*) AS things,
    count(*) FILTER (own_insurance) AS insured,
    count(*) FILTER (retired_on IS NULL) AS things_now,
    count(*) FILTER (own_insurance AND retired_on IS NULL) AS insured_now
  FROM own
  WHERE kit_key IS NOT NULL AND carried_as <> 'vehicle'
  GROUP BY kit_key
)
SELECT
  g.item,
  g.name,
  g.system,
  g.weight_mg,
  g.carried_as,
  g.kit,
  coalesce(
    g.insurance,
    g.own_insurance OR (
      g.carried_as <> 'vehicle' AND (
        (k.things >= 2 AND 2 * k.insured >= k.things)
        OR (k.things_now >= 2 AND 2 * k.insured_now >= k.things_now)
      )
    ),
    false
  ) AS insurance,
  coalesce(g.essential, g.system IN ('shelter', 'sleep', 'water', 'rain')) AS essential,
  g.insurance AS insurance_stated,
  g.essential AS essential_stated,
  g.meant_for,
  g.cold_below_c,
  g.going_without,
  g.price,
  g.currency,
  g.bought_on,
  g.retired_on,
  g.checked_on,
  g.rated_low_c,
  g.rated_as,
  g.r_value,
  g.capacity_wh,
  coalesce(g.replaces, []) AS replaces,
  coalesce(g.needs, []) AS needs,
  g.owner,
  g.owner IS NOT NULL AS borrowed
FROM own AS g
LEFT JOIN kits AS k ON k.kit_key = g.kit_key
