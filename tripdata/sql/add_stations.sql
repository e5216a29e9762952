INSERT INTO stations
SELECT
  unnest($station),
  unnest($name),
  unnest($latitude),
  unnest($longitude),
  unnest($elevation_m)
