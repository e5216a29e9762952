-- Grain: trip that is no plan, item that came along on it: the nights it was there for, each counted
-- once, and whether it was used (missing where not known).
SELECT
  u.trip,
  u.item,
  CAST(coalesce(b.nights, u.last_on - u.first_on) AS BIGINT) AS nights,
  u.used
FROM trip_item_use AS u
LEFT JOIN broken_stays AS b ON b.trip = u.trip AND b.item = u.item
WHERE NOT u.plan
