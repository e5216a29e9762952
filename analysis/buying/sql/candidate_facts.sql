-- Every piece of gear that might be bought.
SELECT
  candidate,
  name,
  system,
  weight_mg / 1000 AS weight_g,
  carried_as,
  price,
  currency,
  list_distinct(replaces) AS replaces,
  rated_low_c,
  rated_as,
  r_value,
  capacity_wh,
  expected_nights
FROM stg_candidates
ORDER BY candidate
