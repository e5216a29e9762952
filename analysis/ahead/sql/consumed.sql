-- Grain: consumable on a trip over before trip $trip begins, or on any trip where that is NULL: what
-- was taken and what was left of it, all its rows together, whoever carried them and from whatever
-- day. Taken is missing where a row is not weighed, left where of a row it is not noted; `cans`
-- has a piece of each row. Neither what is insurance, which is a reserve, nor water is among them.
SELECT
  c.trip,
  t.title,
  t.start_on,
  t.end_on,
  c.item,
  g.name,
  g.system,
  t.nights + 1 AS days,
  t.nights,
  t.people,
  CASE WHEN count(c.row_mg) = count(*) THEN CAST(sum(c.row_mg) AS BIGINT) END AS taken_mg,
  CASE
    WHEN count(c.brought_home_mg) = count(*)
      THEN CAST(sum(c.quantity * c.brought_home_mg) AS BIGINT)
  END AS left_mg,
  list(
    {'full_mg': c.weight_mg, 'left_mg': c.brought_home_mg, 'pieces': c.quantity}
    ORDER BY c.weight_mg, c.brought_home_mg, c.quantity
  ) AS cans
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
JOIN stg_trips AS t ON t.trip = c.trip
LEFT JOIN stg_trips AS ahead ON ahead.trip = $trip
WHERE
  NOT t.plan
  AND (ahead.trip IS NULL OR (t.trip <> ahead.trip AND t.end_on <= ahead.start_on))
  AND c.carried_as = 'consumable'
  AND g.system <> 'water'
  AND NOT g.insurance
GROUP BY ALL
ORDER BY t.start_on, c.trip, c.item
