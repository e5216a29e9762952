-- Consumables of one trip of which it is noted what was left, all pieces together, also those that
-- came along later; the share is missing where not all of it is weighed. `can`: by its name fuel that comes in a can.
SELECT
  c.item,
  any_value(g.name) AS name,
  CASE WHEN count(c.row_mg) = count(*) THEN CAST(sum(c.row_mg) AS BIGINT) END / 1000 AS taken_g,
  CAST(sum(c.quantity * c.brought_home_mg) AS BIGINT) / 1000 AS brought_home_g,
  CASE
    WHEN count(c.row_mg) = count(*)
      THEN CAST(sum(c.quantity * c.brought_home_mg) AS DOUBLE) / CAST(sum(c.row_mg) AS DOUBLE)
  END AS share,
  any_value(
    g.system = 'cook'
    AND regexp_matches(lower(g.name || ' ' || c.item), '\b(gas|canisters?|cartridges?)\b')
  ) AS can
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
WHERE c.trip = $trip AND c.carried_as = 'consumable' AND c.brought_home_mg IS NOT NULL
GROUP BY c.item
ORDER BY brought_home_g DESC, c.item
