-- Every item that others need and that, on the given trips, was never used but where one of those was
-- used, too: it has no work without them. With the others that need it and came along.
WITH scope AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
),
pairs AS (
  SELECT DISTINCT item AS user_item, unnest(needs) AS item
  FROM stg_gear
),
use AS (
  SELECT u.trip, u.item, u.used
  FROM trip_item_use AS u
  SEMI JOIN scope AS s ON s.trip = u.trip
  WHERE u.item IN (SELECT item FROM pairs UNION SELECT user_item FROM pairs)
),
own AS (
  SELECT u.trip, u.item
  FROM use AS u
  LEFT JOIN pairs AS p ON p.item = u.item
  LEFT JOIN use AS o ON o.trip = u.trip AND o.item = p.user_item AND o.used
  WHERE u.used
  GROUP BY u.trip, u.item
  HAVING count(o.item) = 0
)
SELECT p.item, list(DISTINCT p.user_item ORDER BY p.user_item) AS users
FROM pairs AS p
SEMI JOIN use AS u ON u.item = p.user_item
ANTI JOIN own AS o ON o.item = p.item
WHERE p.item <> p.user_item
GROUP BY p.item
ORDER BY p.item
