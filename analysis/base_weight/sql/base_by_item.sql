-- Every item that came along on any of the given trips, of one system where one is given: on how
-- many it weighed on me as base at the start, its pieces and milligrams summed over those, and on
-- how many it came along without.
WITH loads AS (
  SELECT
    c.trip,
    c.item,
    bool_or(c.on_me AND c.carried_as = 'base') AS base,
    sum(c.quantity) FILTER (c.on_me AND c.carried_as = 'base') AS pieces,
    sum(c.row_mg) FILTER (c.on_me AND c.carried_as = 'base') AS mg
  FROM carried_rows AS c
  SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS chosen ON chosen.trip = c.trip
  WHERE $system IS NULL OR c.system = $system
  GROUP BY c.trip, c.item
)
SELECT
  l.item,
  g.name,
  g.system,
  count(*) FILTER (l.base) AS trips,
  CAST(coalesce(sum(l.pieces), 0) AS BIGINT) AS pieces,
  CAST(coalesce(sum(l.mg), 0) AS BIGINT) AS mg,
  count(*) FILTER (NOT l.base) AS otherwise
FROM loads AS l
JOIN stg_gear AS g ON g.item = l.item
GROUP BY l.item, g.name, g.system
ORDER BY l.item
