-- Grain: carried row, its weight, kind and days resolved.
-- Weight of one piece on that trip: the row's own, else the latest weighing on or before the trip's
-- start, else the gear's. `on_me` is what weighs on me at the start.
SELECT
  c.trip,
  c.item,
  t.plan,
  t.start_on,
  t.end_on,
  g.system,
  g.insurance,
  coalesce(c.carried_as, g.carried_as) AS carried_as,
  c.quantity,
  coalesce(c.weight_mg, w.weight_mg, g.weight_mg) AS weight_mg,
  c.quantity * coalesce(c.weight_mg, w.weight_mg, g.weight_mg) AS row_mg,
  c.mine,
  c.carried_by,
  c.from_day IS NULL OR c.from_day <= t.start_on AS at_start,
  c.mine AND (c.from_day IS NULL OR c.from_day <= t.start_on) AS on_me,
  c.from_day,
  c.until_day,
  coalesce(c.from_day, t.start_on) AS from_on,
  coalesce(c.until_day, t.end_on) AS until_on,
  c.bag,
  c.noted_times,
  c.brought_home_mg
FROM stg_carried AS c
JOIN stg_trips AS t ON t.trip = c.trip
JOIN stg_gear AS g ON g.item = c.item
LEFT JOIN stg_weighings AS w
  ON w.item = c.item
  AND t.start_on >= w.weighed_on
  AND (w.next_weighed_on IS NULL OR t.start_on < w.next_weighed_on)
