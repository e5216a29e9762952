-- For everything that items are meant for: on how many of the given trips it is known whether it came
-- about, and on how many it did; the same leaving cold out (`warm_`), and leaving wet and cold out
-- (`other_`).
WITH scope AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
),
meanings AS (
  SELECT DISTINCT meant_for, cold_below_c
  FROM stg_gear
  WHERE NOT list_contains(meant_for, 'any') AND len(meant_for) > 0
),
parts AS (
  SELECT
    meant_for,
    cold_below_c,
    unnest(list_distinct(meant_for)) AS condition
  FROM meanings
),
by_trip AS (
  SELECT
    p.meant_for,
    p.cold_below_c,
    bool_or(t.happened) AS any_met,
    count(*) = count(t.happened) AS all_known,
    bool_or(t.happened) FILTER (p.condition <> 'cold') AS warm_any_met,
    count(*) FILTER (p.condition <> 'cold' AND t.happened IS NULL) = 0 AS warm_all_known,
    bool_or(t.happened) FILTER (p.condition NOT IN ('wet', 'cold')) AS other_any_met,
    count(*) FILTER (p.condition NOT IN ('wet', 'cold') AND t.happened IS NULL) = 0
      AS other_all_known
  FROM parts AS p
  JOIN trip_conditions AS t
    ON t.condition = p.condition
    AND t.cold_below_c IS NOT DISTINCT FROM CASE WHEN p.condition = 'cold' THEN p.cold_below_c END
  SEMI JOIN scope AS s ON s.trip = t.trip
  GROUP BY p.meant_for, p.cold_below_c, t.trip
)
SELECT
  m.meant_for,
  m.cold_below_c,
  count(*) FILTER (b.any_met OR b.all_known) AS known,
  count(*) FILTER (b.any_met) AS met,
  count(*) FILTER (b.warm_any_met OR b.warm_all_known) AS warm_known,
  count(*) FILTER (b.warm_any_met) AS warm_met,
  count(*) FILTER (b.other_any_met OR b.other_all_known) AS other_known,
  count(*) FILTER (b.other_any_met) AS other_met
FROM meanings AS m
LEFT JOIN by_trip AS b
  ON b.meant_for = m.meant_for AND b.cold_below_c IS NOT DISTINCT FROM m.cold_below_c
GROUP BY m.meant_for, m.cold_below_c
ORDER BY m.meant_for, m.cold_below_c
