INSERT INTO normal_sets
SELECT
  unnest($station),
  unnest($product),
  unnest($period),
  unnest($kind),
  unnest($spread_from),
  unnest($completeness),
  unnest($years),
  unnest($file)
