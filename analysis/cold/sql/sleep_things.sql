-- Every piece of sleep gear that is owned or borrowed: its rating on the limit scale where it has one,
-- what it took over from, since when and until when it is there, and its weight of today.
SELECT
  g.item,
  g.name,
  w.weight_mg / 1000 AS weight_g,
  r.rated_low_c,
  coalesce(g.rated_as, 'maker') AS rated_as,
  r.as_limit_c,
  g.r_value,
  g.replaces,
  g.bought_on,
  g.retired_on,
  g.borrowed
FROM stg_gear AS g
JOIN items_today AS w ON w.item = g.item
LEFT JOIN sleep_ratings AS r ON r.item = g.item
WHERE g.system = 'sleep'
ORDER BY g.item
