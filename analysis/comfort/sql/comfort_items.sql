-- Everything that came along on a trip that is no plan, with what tells whether it may stay at home.
-- `load_g`: what its rows came to on the last of those trips, of those at the start where there are
-- such; missing where one of them is not weighed. `stays_owned`: overnight trips of the ways of
-- travelling it came along on, while it was owned; `stays_along`: those of them it came along on.
-- `only_one`: on some trip it was the only thing of its system. `lately_along`: of the last
-- `lately_stays` overnight trips, at most five, those it came along on. `never_used`: on some trip its
-- use is known, and on none was it used.
WITH latest AS (
  SELECT c.item, max_by(c.trip, (t.start_on, t.trip)) AS trip, min(t.start_on) AS first_on
  FROM carried_rows AS c
  JOIN stg_trips AS t ON t.trip = c.trip
  WHERE NOT t.plan
  GROUP BY c.item
),
loads AS (
  SELECT
    c.item,
    CAST(sum(c.row_mg) FILTER (c.at_start) AS BIGINT) AS start_mg,
    CAST(sum(c.row_mg) AS BIGINT) AS all_mg,
    bool_or(c.at_start) AS at_start,
    bool_or(c.row_mg IS NULL) AS unweighed,
    any_value(c.carried_as) AS carried_as
  FROM carried_rows AS c
  JOIN latest AS l ON l.item = c.item AND l.trip = c.trip
  GROUP BY c.item
),
stays AS (
  SELECT trip, mode, start_on FROM stg_trips WHERE NOT plan AND nights > 0
),
lately AS (
  SELECT trip FROM stays ORDER BY start_on DESC, trip DESC LIMIT 5
),
along AS (
  SELECT DISTINCT s.trip, s.mode, c.item, c.system
  FROM carried_rows AS c
  JOIN stays AS s ON s.trip = c.trip
),
modes AS (
  SELECT DISTINCT item, mode FROM along
),
alone AS (
  SELECT DISTINCT a.item
  FROM along AS a
  WHERE NOT EXISTS (
    FROM along AS b WHERE b.trip = a.trip AND b.system = a.system AND b.item <> a.item
  )
),
chances AS (
  SELECT m.item, count(*) AS stays_owned, count(a.item) AS stays_along
  FROM modes AS m
  JOIN stays AS s ON s.mode IS NOT DISTINCT FROM m.mode
  JOIN stg_gear AS g ON g.item = m.item
  JOIN latest AS l ON l.item = m.item
  LEFT JOIN along AS a ON a.trip = s.trip AND a.item = m.item
  WHERE s.start_on >= least(coalesce(g.bought_on, l.first_on), l.first_on)
    AND (g.retired_on IS NULL OR s.start_on < g.retired_on)
  GROUP BY m.item
),
uses AS (
  SELECT item, bool_or(known) AND NOT bool_or(coalesce(used, false)) AS never_used
  FROM trip_item_use
  WHERE NOT plan
  GROUP BY item
)
SELECT
  g.item,
  g.name,
  g.system,
  o.carried_as,
  CASE
    WHEN NOT o.unweighed THEN CASE WHEN o.at_start THEN o.start_mg ELSE o.all_mg END / 1000
  END AS load_g,
  g.insurance,
  g.essential,
  g.borrowed,
  g.retired_on,
  g.meant_for,
  g.going_without,
  g.needs,
  coalesce(c.stays_owned, 0) AS stays_owned,
  coalesce(c.stays_along, 0) AS stays_along,
  n.item IS NOT NULL AS only_one,
  (SELECT count(*) FROM lately) AS lately_stays,
  (SELECT count(*) FROM lately AS y SEMI JOIN along AS a ON a.trip = y.trip AND a.item = g.item)
    AS lately_along,
  coalesce(u.never_used, false) AS never_used
FROM latest AS l
JOIN stg_gear AS g ON g.item = l.item
JOIN loads AS o ON o.item = l.item
LEFT JOIN chances AS c ON c.item = l.item
LEFT JOIN alone AS n ON n.item = l.item
LEFT JOIN uses AS u ON u.item = l.item
ORDER BY g.item
