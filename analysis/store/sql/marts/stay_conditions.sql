-- Grain: carried row of a part of a trip that is no plan, condition that its item is meant for:
-- whether it came about on the days, for cold in the nights, that the row was there for.
WITH stays AS (
  SELECT
    c.trip,
    c.item,
    coalesce(c.from_day, t.start_on) AS from_on,
    coalesce(c.until_day, t.end_on) AS until_on
  FROM stg_carried AS c
  JOIN stg_trips AS t ON t.trip = c.trip
  WHERE NOT t.plan AND (c.from_day > t.start_on OR c.until_day < t.end_on)
),
meant AS (
  SELECT row_number() OVER () AS stay, s.*, i.condition, i.cold_below_c
  FROM stays AS s
  JOIN item_conditions AS i ON i.item = s.item
),
by_day AS (
  SELECT
    m.stay,
    CASE m.condition WHEN 'wet' THEN d.wet ELSE list_contains(d.conditions, m.condition) END AS shown
  FROM meant AS m
  JOIN trip_days AS d ON d.trip = m.trip AND d.day BETWEEN m.from_on AND m.until_on
  WHERE m.condition <> 'cold'
  UNION ALL
  SELECT m.stay, n.low_c < m.cold_below_c AS shown
  FROM meant AS m
  JOIN nights AS n ON n.trip = m.trip AND n.night >= m.from_on AND n.night < m.until_on
  WHERE m.condition = 'cold'
),
told AS (
  SELECT stay, bool_or(shown) AS any_shown, count(*) = count(shown) AS all_known
  FROM by_day
  GROUP BY stay
)
SELECT
  m.trip,
  m.item,
  m.condition,
  CASE
    WHEN m.condition = 'cold' AND m.cold_below_c IS NULL THEN NULL
    WHEN t.any_shown THEN true
    WHEN coalesce(t.all_known, true) THEN false
  END AS happened
FROM meant AS m
LEFT JOIN told AS t ON t.stay = m.stay
