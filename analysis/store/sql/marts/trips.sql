-- Grain: trip; plans among them.
-- Weight classes are the lines that walkers use, at 5, 10 and 20 lb of base weight (common
-- practice, no published source); 1 lb = 453.59237 g exactly (NIST Handbook 44, appendix C).
WITH used AS (
  SELECT
    trip,
    count(*) AS items_carried,
    count(*) FILTER (unweighed) AS unweighed,
    count(*) FILTER (used) AS items_used,
    use_record IN ('full', 'all_but') AND bool_and(known) AS all_known,
    count(*) FILTER (NOT used AND on_me) AS unused,
    count(*) FILTER (NOT used AND on_me AND insurance) AS unused_insurance,
    CAST(sum(start_mg) FILTER (NOT used) AS BIGINT) AS unused_mg,
    CAST(sum(start_mg) FILTER (NOT used AND insurance) AS BIGINT) AS unused_insurance_mg
  FROM trip_item_use
  GROUP BY trip, use_record
),
travelled AS (
  SELECT
    trip,
    CAST(sum(distance_mm) AS BIGINT) AS distance_mm,
    CAST(sum(ascent_mm) AS BIGINT) AS ascent_mm
  FROM stg_distances
  GROUP BY trip
),
coldest AS (
  SELECT trip, min(low_c) AS low_c, round(avg(low_anomaly_c), 6) AS low_anomaly_c
  FROM nights
  GROUP BY trip
),
failed AS (
  SELECT trip, count(*) AS failures
  FROM stg_failures
  GROUP BY trip
),
aside AS (
  SELECT trip, count(DISTINCT ("file", line)) AS set_aside
  FROM stg_set_aside
  WHERE trip IS NOT NULL
  GROUP BY trip
)
SELECT
  t.trip,
  t.start_on,
  t.end_on,
  t.nights,
  t.season,
  t.mode,
  t.plan,
  l.base_mg / 1000 AS base_g,
  l.worn_mg / 1000 AS worn_g,
  l.consumable_mg / 1000 AS consumable_g,
  l.vehicle_mg / 1000 AS vehicle_g,
  CASE
    WHEN coalesce(l.base_mg, l.worn_mg, l.consumable_mg) IS NOT NULL
      THEN (coalesce(l.base_mg, 0) + coalesce(l.worn_mg, 0) + coalesce(l.consumable_mg, 0)) / 1000
  END AS skin_out_g,
  CASE
    WHEN u.unweighed > 0 OR t.nights = 0 OR l.base_mg IS NULL OR m.trip IS NOT NULL THEN NULL
    WHEN l.base_mg < 2267961.85 THEN 'super-ultralight'
    WHEN l.base_mg < 4535923.7 THEN 'ultralight'
    WHEN l.base_mg < 9071847.4 THEN 'lightweight'
    ELSE 'traditional'
  END AS weight_class,
  coalesce(u.unweighed, 0) AS unweighed,
  d.distance_mm / 1000000 AS distance_km,
  d.ascent_mm / 1000 AS ascent_m,
  c.low_c AS coldest_night_c,
  coalesce(u.items_carried, 0) AS items_carried,
  CASE
    WHEN u.all_known THEN u.items_used
    WHEN u.trip IS NULL AND r.use_record IN ('full', 'all_but') THEN 0
  END AS items_used,
  CASE
    WHEN u.all_known AND l.laden
      THEN coalesce(u.unused_mg, CASE WHEN u.unused = 0 THEN 0 END) / 1000
  END AS unused_g,
  CASE
    WHEN u.all_known AND l.laden
      THEN coalesce(u.unused_insurance_mg, CASE WHEN u.unused_insurance = 0 THEN 0 END) / 1000
  END AS unused_insurance_g,
  coalesce(f.failures, 0) AS failures,
  coalesce(a.set_aside, 0) AS set_aside,
  t.title,
  r.use_record,
  c.low_anomaly_c
FROM stg_trips AS t
JOIN trip_use_records AS r ON r.trip = t.trip
LEFT JOIN trip_loads AS l ON l.trip = t.trip
LEFT JOIN used AS u ON u.trip = t.trip
LEFT JOIN travelled AS d ON d.trip = t.trip
LEFT JOIN coldest AS c ON c.trip = t.trip
LEFT JOIN failed AS f ON f.trip = t.trip
LEFT JOIN aside AS a ON a.trip = t.trip
LEFT JOIN trip_unmarked AS m ON m.trip = t.trip
ORDER BY t.trip
