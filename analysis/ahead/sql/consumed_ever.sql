-- Grain: consumable on a trip that took place: what `ahead/consumed` says of trips before another.
SELECT
  c.trip,
  t.start_on,
  t.end_on,
  c.item,
  g.system,
  t.nights + 1 AS days,
  t.nights,
  t.people,
  CASE WHEN count(c.row_mg) = count(*) THEN CAST(sum(c.row_mg) AS BIGINT) END AS taken_mg,
  CASE
    WHEN count(c.brought_home_mg) = count(*)
      THEN CAST(sum(c.quantity * c.brought_home_mg) AS BIGINT)
  END AS left_mg,
  min(c.brought_home_mg) FILTER (c.brought_home_mg > 0) AS least_left_mg
FROM carried_rows AS c
JOIN stg_gear AS g ON g.item = c.item
JOIN stg_trips AS t ON t.trip = c.trip
WHERE NOT t.plan AND c.carried_as = 'consumable' AND g.system <> 'water' AND NOT g.insurance
GROUP BY c.trip, c.item, g.system, t.start_on, t.end_on, t.nights, t.people
ORDER BY t.start_on, c.trip, c.item
