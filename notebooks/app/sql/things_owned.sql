-- One row a thing of gear.csv, with its weight of today.
SELECT item, name, system, kit, insurance, carried_as, weight_mg / 1000 AS weight_g, retired_on
FROM items_today
ORDER BY item
