-- How often every item that came along on the given trips, or was missed on one of them, had its
-- chance and was used.
-- A trip counts where its use of the item is known; it is a chance where a condition came about that
-- the item is meant for. A trip on which it was missed at home is one chance and one use.
-- `months`, `modes`, `most_nights` and `lowest_c` are of the trips on which its use is known or on which
-- it was missed: what the record has seen of it. `occasions`: of those on which its use is known, on
-- how many there was what its system is there for: a wet day for rain, with a night for shelter; a
-- night for sleep.
WITH scope AS (
  SELECT unnest(CAST($trips AS VARCHAR[])) AS trip
),
meant AS (
  SELECT DISTINCT item FROM item_conditions
),
along AS (
  SELECT
    u.item,
    u.known,
    u.used,
    u.times,
    u.last_used_on,
    CASE WHEN m.item IS NULL THEN true ELSE c.chance END AS chance,
    r.months,
    r.mode,
    r.nights,
    r.lowest_c,
    w.wet_days > 0 AS wet,
    h.logged,
    h.own_rows,
    h.weighed_rows,
    h.hauled_mg_mm
  FROM trip_item_use AS u
  SEMI JOIN scope AS s ON s.trip = u.trip
  JOIN trip_ranges AS r ON r.trip = u.trip
  LEFT JOIN trip_weather AS w ON w.trip = u.trip
  LEFT JOIN meant AS m ON m.item = u.item
  LEFT JOIN trip_item_chances AS c ON c.trip = u.trip AND c.item = u.item
  LEFT JOIN trip_item_hauls AS h ON h.trip = u.trip AND h.item = u.item
  WHERE NOT u.plan
),
carried AS (
  SELECT
    item,
    count(*) AS trips_carried,
    count(*) FILTER (known) AS trips_logged,
    count(*) FILTER (known AND chance) AS chances,
    count(*) FILTER (used AND chance) AS chances_used,
    count(*) FILTER (known AND NOT chance) AS no_chance,
    count(*) FILTER (known AND wet) AS wet_trips,
    count(*) FILTER (known AND wet AND nights > 0) AS wet_camps,
    count(*) FILTER (known AND nights > 0) AS camps,
    count(*) FILTER (used) AS trips_used,
    CAST(coalesce(sum(times), 0) AS BIGINT) AS times_used,
    max(last_used_on) AS last_used_on,
    bit_or(months) FILTER (known) AS months,
    list(DISTINCT mode) FILTER (known) AS modes,
    max(nights) FILTER (known) AS nights,
    min(lowest_c) FILTER (known) AS lowest_c,
    CASE
      WHEN count(*) FILTER (logged) = 0 THEN NULL
      WHEN sum(own_rows) > 0 AND sum(weighed_rows) = 0 THEN NULL
      ELSE sum(hauled_mg_mm)
    END AS hauled_mg_mm,
    CASE
      WHEN count(*) FILTER (logged AND known) = 0 THEN NULL
      WHEN sum(own_rows) FILTER (known) > 0 AND sum(weighed_rows) FILTER (known) = 0 THEN NULL
      ELSE sum(hauled_mg_mm) FILTER (known)
    END AS hauled_known_mg_mm
  FROM along
  GROUP BY item
),
wished AS (
  SELECT
    w.item,
    count(*) AS wished,
    bit_or(r.months) AS months,
    list(DISTINCT r.mode) AS modes,
    max(r.nights) AS nights,
    min(r.lowest_c) AS lowest_c
  FROM trip_item_wishes AS w
  SEMI JOIN scope AS s ON s.trip = w.trip
  JOIN trip_ranges AS r ON r.trip = w.trip
  GROUP BY w.item
)
SELECT
  g.item,
  g.name,
  g.system,
  g.carried_as,
  g.weight_mg / 1000 AS weight_g,
  g.insurance,
  g.essential,
  g.essential_stated,
  g.capacity_wh,
  g.owner,
  g.retired_on,
  g.checked_on,
  g.going_without,
  g.meant_for,
  g.cold_below_c,
  g.needs,
  coalesce(c.trips_carried, 0) AS trips_carried,
  coalesce(c.trips_logged, 0) AS trips_logged,
  coalesce(c.chances, 0) + coalesce(w.wished, 0) AS chances,
  coalesce(c.chances_used, 0) + coalesce(w.wished, 0) AS chances_used,
  coalesce(c.no_chance, 0) AS no_chance,
  coalesce(c.trips_used, 0) AS trips_used,
  coalesce(c.times_used, 0) AS times_used,
  coalesce(w.wished, 0) AS wished,
  coalesce(
    CASE g.system
      WHEN 'rain' THEN c.wet_trips
      WHEN 'shelter' THEN c.wet_camps
      WHEN 'sleep' THEN c.camps
      ELSE c.trips_logged
    END, 0
  ) AS occasions,
  c.last_used_on,
  coalesce(c.months, 0) | coalesce(w.months, 0) AS months,
  list_sort(
    list_distinct(
      list_filter(
        list_concat(coalesce(c.modes, []), coalesce(w.modes, [])), lambda one: one IS NOT NULL
      )
    )
  ) AS modes,
  greatest(c.nights, w.nights) AS most_nights,
  least(c.lowest_c, w.lowest_c) AS lowest_c,
  CAST(c.hauled_mg_mm AS DOUBLE) / 1e12 AS hauled_kg_km,
  CASE WHEN c.times_used > 0 THEN CAST(c.hauled_known_mg_mm AS DOUBLE) / 1e12 / c.times_used END
    AS kg_km_per_use
FROM items_today AS g
LEFT JOIN carried AS c ON c.item = g.item
LEFT JOIN wished AS w ON w.item = g.item
WHERE c.item IS NOT NULL OR w.item IS NOT NULL
ORDER BY g.item
