-- An outlook as rows, one a night.
SELECT
  unnest(CAST($night AS DATE[])) AS night,
  unnest(CAST($normal_low_c AS DOUBLE[])) AS normal_low_c,
  unnest(CAST($sd_c AS DOUBLE[])) AS sd_c,
  unnest(CAST($p_below AS DOUBLE[])) AS p_below,
  CAST($p_any_below AS DOUBLE) AS p_any_below,
  CAST($p_any_low AS DOUBLE) AS p_any_low,
  CAST($p_any_high AS DOUBLE) AS p_any_high,
  CAST($below_c AS DOUBLE) AS below_c,
  CAST($station AS VARCHAR) AS station,
  CAST($distance_km AS DOUBLE) AS distance_km,
  CAST($height_difference_m AS DOUBLE) AS height_difference_m,
  CAST($normal_source AS VARCHAR) AS normal_source
ORDER BY night
