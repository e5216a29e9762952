-- How far an item stood in for another: what share of its services to the other's system, on the given
-- trips, the other may be credited with.
-- Which item of a system was stood in for is not written down. So a service goes in equal parts to the
-- items of that system, of those that came along on any of the trips, which stayed at home or are
-- known not to have been used.
WITH scope AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
),
pool AS (
  SELECT DISTINCT c.item, g.system
  FROM stg_carried AS c
  SEMI JOIN scope AS s ON s.trip = c.trip
  JOIN stg_gear AS g ON g.item = c.item
  WHERE NOT g.insurance
),
idle AS (
  SELECT v.trip, v.item AS stand_in, v.system, p.item
  FROM trip_item_services AS v
  SEMI JOIN scope AS s ON s.trip = v.trip
  JOIN pool AS p ON p.system = v.system
  LEFT JOIN trip_item_use AS u ON u.trip = v.trip AND u.item = p.item
  WHERE u.item IS NULL OR u.used = false
),
credits AS (
  SELECT item, stand_in, 1 / count(*) OVER (PARTITION BY trip, stand_in, system) AS credit
  FROM idle
)
SELECT item, stand_in, round(sum(credit), 6) AS credit
FROM credits
GROUP BY item, stand_in
ORDER BY item, stand_in
