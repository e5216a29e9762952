-- What every item usually weighed on me as base at the start of the given trips that it was base on:
-- the median (of an even number the lower) of pieces and of milligrams, the latter of trips on which
-- all its rows are weighed.
WITH loads AS (
  SELECT
    c.trip,
    c.item,
    CAST(sum(c.quantity) AS BIGINT) AS pieces,
    CASE WHEN count(c.row_mg) = count(*) THEN CAST(sum(c.row_mg) AS BIGINT) END AS mg
  FROM carried_rows AS c
  SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS s ON s.trip = c.trip
  WHERE c.on_me AND c.carried_as = 'base'
  GROUP BY c.trip, c.item
)
SELECT
  item,
  count(*) AS trips_base,
  quantile_disc(pieces, 0.5) AS pieces,
  quantile_disc(mg, 0.5) AS mg
FROM loads
GROUP BY item
ORDER BY item
