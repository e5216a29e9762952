-- Every trip of a period and mode, plans among them, the latest last: its base weight, of one system
-- where one is given, what of it is not weighed, and how cold its nights were and usually are. The
-- normal low is known only where it is known of every night. `unmarked`: it has no class, since food,
-- fuel or worn clothes count in it.
WITH loads AS (
  SELECT
    c.trip,
    count(*) AS base_rows,
    CAST(coalesce(sum(c.row_mg) FILTER ($system IS NULL OR c.system = $system), 0) AS BIGINT)
      AS base_mg,
    list_sort(list_distinct(list(g.name) FILTER (
      c.row_mg IS NULL AND ($system IS NULL OR c.system = $system)
    ))) AS unweighed
  FROM carried_rows AS c
  JOIN stg_gear AS g ON g.item = c.item
  WHERE c.on_me AND c.carried_as = 'base'
  GROUP BY c.trip
),
cold AS (
  SELECT
    trip,
    CASE WHEN bool_and(normal_low_c IS NOT NULL) THEN min(normal_low_c) END AS normal_low_c,
    min(low_c) AS measured_low_c
  FROM nights
  GROUP BY trip
)
SELECT
  t.trip,
  t.title,
  t.start_on,
  t.nights,
  t.season,
  t.mode,
  t.plan,
  coalesce(l.base_rows, 0) AS base_rows,
  l.base_mg,
  coalesce(l.unweighed, []) AS unweighed,
  c.normal_low_c,
  c.measured_low_c,
  m.trip IS NOT NULL AS unmarked
FROM stg_trips AS t
LEFT JOIN loads AS l ON l.trip = t.trip
LEFT JOIN cold AS c ON c.trip = t.trip
LEFT JOIN trip_unmarked AS m ON m.trip = t.trip
WHERE
  ($since IS NULL OR t.start_on >= CAST($since AS DATE))
  AND ($until IS NULL OR t.start_on <= CAST($until AS DATE))
  AND ($mode IS NULL OR t.mode = $mode)
ORDER BY t.start_on, t.nights, t.trip
