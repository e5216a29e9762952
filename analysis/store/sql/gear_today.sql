-- Every item, with its weight of today.
SELECT
  item,
  name,
  system,
  weight_mg / 1000 AS weight_g,
  carried_as,
  meant_for,
  insurance,
  price,
  currency,
  rated_low_c,
  rated_as,
  r_value,
  capacity_wh,
  retired_on,
  owner
FROM items_today
ORDER BY item
