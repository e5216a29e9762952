-- What the trips $trips had along, a row a thing and way of carrying it.
SELECT
  trip,
  item,
  carried_as,
  carried_by,
  bag,
  CAST(sum(quantity) AS BIGINT) AS quantity
FROM carried_rows
WHERE trip = ANY($trips)
GROUP BY trip, item, carried_as, carried_by, bag
ORDER BY trip, item, carried_as, carried_by NULLS FIRST, bag NULLS FIRST
