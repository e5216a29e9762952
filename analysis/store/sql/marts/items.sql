-- Grain: item carried at least once on a trip that is not a plan.
WITH uses AS (
  SELECT
    item,
    count(*) AS trips_carried,
    count(*) FILTER (known) AS trips_logged,
    count(*) FILTER (used) AS trips_used,
    CAST(coalesce(sum(times), 0) AS BIGINT) AS times_used,
    CAST(sum(last_on - first_on) AS BIGINT) AS span_nights,
    max(last_on) AS last_carried_on,
    max(last_used_on) AS last_used_on
  FROM trip_item_use
  WHERE NOT plan
  GROUP BY item
),
away AS (
  SELECT b.item, CAST(sum(b.span_nights - b.nights) AS BIGINT) AS nights
  FROM broken_stays AS b
  JOIN stg_trips AS t ON t.trip = b.trip
  WHERE NOT t.plan
  GROUP BY b.item
)
SELECT
  u.item,
  g.name,
  g.system,
  g.carried_as,
  g.weight_mg / 1000 AS weight_g,
  u.trips_carried,
  u.trips_logged,
  u.trips_used,
  u.times_used,
  u.span_nights - coalesce(a.nights, 0) AS nights_carried,
  h.hauled_mg_mm / 1e12 AS hauled_kg_km,
  u.last_carried_on,
  u.last_used_on,
  u.trips_logged > 0 AND u.trips_used = 0 AS never_used,
  g.insurance
FROM uses AS u
JOIN items_today AS g ON g.item = u.item
JOIN item_hauls AS h ON h.item = u.item
LEFT JOIN away AS a ON a.item = u.item
ORDER BY u.item
