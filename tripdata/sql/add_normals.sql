-- Three long texts are bound several times quicker than three lists of 366.
INSERT INTO normals
SELECT
  $station,
  $product,
  $period,
  day,
  CAST(low AS DOUBLE),
  CAST(nullif(spread, '') AS DOUBLE)
FROM (
  SELECT
    unnest(string_split($days, ' ')) AS day,
    unnest(string_split($lows, ' ')) AS low,
    unnest(string_split($spreads, ' ')) AS spread
)
