-- Every piece of sleep gear that is owned or borrowed: its rating on the limit scale where it has one
-- (what was typed for it where that could not be read),
-- what it took over from, since when and until when it is there, and its weight on day $day, by its
-- latest weighing where that is NULL.
SELECT
  g.item,
  g.name,
  coalesce(w.weight_mg, g.weight_mg) / 1000 AS weight_g,
  r.rated_low_c,
  coalesce(g.rated_as, 'maker') AS rated_as,
  r.as_limit_c,
  x.value AS rating_not_read,
  g.r_value,
  g.replaces,
  g.bought_on,
  g.retired_on,
  g.borrowed
FROM stg_gear AS g
LEFT JOIN stg_weighings AS w
  ON w.item = g.item
  AND CASE
    WHEN CAST($day AS DATE) IS NULL THEN w.next_weighed_on IS NULL
    ELSE $day >= w.weighed_on AND (w.next_weighed_on IS NULL OR $day < w.next_weighed_on)
  END
LEFT JOIN sleep_ratings AS r ON r.item = g.item
LEFT JOIN stg_cells_not_read AS x ON x.item = g.item AND x.column = 'rated_low'
WHERE g.system = 'sleep'
ORDER BY g.item
