-- One row a piece of gear that might be bought.
SELECT
  candidate,
  name,
  system,
  weight_mg,
  carried_as,
  price,
  currency,
  coalesce(replaces, []) AS replaces,
  rated_low_c,
  rated_as,
  r_value,
  capacity_wh,
  expected_nights
FROM candidates
