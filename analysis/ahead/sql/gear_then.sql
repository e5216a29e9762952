-- Every thing of gear.csv as it weighs when trip $trip begins, with what bears on taking it along.
SELECT
  g.item,
  g.name,
  g.system,
  g.kit,
  g.carried_as,
  coalesce(w.weight_mg, g.weight_mg) AS weight_mg,
  g.insurance,
  g.essential,
  g.essential_stated,
  g.going_without,
  g.meant_for,
  g.cold_below_c,
  g.r_value,
  g.rated_low_c,
  g.capacity_wh,
  g.checked_on,
  g.replaces,
  g.needs,
  g.owner,
  g.bought_on,
  g.retired_on,
  (g.bought_on IS NULL OR g.bought_on <= t.start_on)
    AND (g.retired_on IS NULL OR g.retired_on > t.start_on) AS at_hand
FROM stg_gear AS g
JOIN stg_trips AS t ON t.trip = $trip
LEFT JOIN stg_weighings AS w
  ON w.item = g.item
  AND t.start_on >= w.weighed_on
  AND (w.next_weighed_on IS NULL OR t.start_on < w.next_weighed_on)
ORDER BY g.item
