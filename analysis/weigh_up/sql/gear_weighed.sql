-- Every thing of gear.csv as it weighs on $day; whether it is given up by then, or not yet bought.
SELECT
  g.item,
  g.name,
  g.system,
  g.kit,
  g.carried_as,
  g.insurance IS TRUE OR g.essential IS TRUE AS marked,
  coalesce(w.weight_mg, g.weight_mg) AS weight_mg,
  g.retired_on IS NOT NULL AND g.retired_on <= $day AS given_up,
  g.bought_on IS NOT NULL AND g.bought_on > $day AS not_yet,
  g.owner
FROM stg_gear AS g
LEFT JOIN stg_weighings AS w
  ON w.item = g.item
  AND $day >= w.weighed_on
  AND (w.next_weighed_on IS NULL OR $day < w.next_weighed_on)
ORDER BY g.item
