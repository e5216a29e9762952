-- Every thing of gear.csv as it weighs at the start of trip $trip, or by its latest weighing where
-- that is NULL, and whether it is given up by $today.
SELECT
  g.item,
  g.name,
  g.system,
  g.kit,
  g.carried_as,
  g.insurance IS TRUE OR g.essential IS TRUE AS marked,
  coalesce(w.weight_mg, g.weight_mg) AS weight_mg,
  g.retired_on IS NOT NULL AND g.retired_on <= $today AS given_up
FROM stg_gear AS g
LEFT JOIN stg_trips AS t ON t.trip = $trip
LEFT JOIN stg_weighings AS w
  ON w.item = g.item
  AND CASE
    WHEN t.trip IS NULL THEN w.next_weighed_on IS NULL
    ELSE
      t.start_on >= w.weighed_on
      AND (w.next_weighed_on IS NULL OR t.start_on < w.next_weighed_on)
  END
ORDER BY g.item
