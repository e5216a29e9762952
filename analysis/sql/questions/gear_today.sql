-- Every item, with its weight of today.
SELECT item, name, system, weight_mg / 1000 AS weight_g, price, currency, rated_low_c, capacity_wh
FROM items_today
ORDER BY item
