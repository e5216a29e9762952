-- Grain: trip; plans among them. Those of whose load at the start nothing is marked worn or
-- consumable, or food or fuel is not: that counts as base weight, and the sum has no class. The rule
-- is that of `weigh_up.unmarked`, and a test holds both alike.
WITH named AS (
  SELECT item, system, replace(replace(lower(item || ' ' || name), '_', ' '), '-', ' ') AS names
  FROM stg_gear
),
eaten_or_burnt AS (
  SELECT item
  FROM named
  WHERE
    (
      system = 'food'
      OR (
        system = 'cook'
        AND regexp_matches(
          names,
          '\b(gas|fuel|alcohol|ethanol|spirits?|petrol|paraffin|kerosene|canisters?|cartridges?)\b'
        )
      )
    )
    AND NOT regexp_matches(
      names,
      '\b(stove|burner|cooker|stand|adapter|valve|hose|pump|bottles?|bags?|sacks?|pouch|box|tins?'
      || '|jars?|tubs?|hooks?|cord|rope|net|cosy|cozy|scales?)\b|\b(food|bear) canisters?\b'
    )
)
SELECT c.trip
FROM carried_rows AS c
LEFT JOIN eaten_or_burnt AS e ON e.item = c.item
WHERE c.on_me
GROUP BY c.trip
HAVING
  bool_or(c.carried_as = 'base')
  AND (
    NOT bool_or(c.carried_as IN ('worn', 'consumable'))
    OR bool_or(c.carried_as = 'base' AND e.item IS NOT NULL)
  )
