-- Trip $trip as one to come, and what bounds all trips that are no plans and were over before it began.
-- `seen_seasons`: their months, half a year later for those on the other side of the equator.
WITH before AS (
  SELECT
    r.months,
    r.mode,
    r.nights,
    r.lowest_c,
    CASE
      WHEN (t.latitude < 0) <> (p.latitude < 0) THEN ((r.months << 6) | (r.months >> 6)) & 4095
      ELSE r.months
    END AS seasons
  FROM stg_trips AS t
  JOIN trip_ranges AS r ON r.trip = t.trip
  JOIN stg_trips AS p ON p.trip = $trip
  WHERE NOT t.plan AND t.trip <> $trip AND t.end_on <= $start_on
),
seen AS (
  SELECT
    count(*) AS trips,
    coalesce(bit_or(months), 0) AS seen_months,
    coalesce(bit_or(seasons), 0) AS seen_seasons,
    coalesce(list(DISTINCT mode ORDER BY mode) FILTER (mode IS NOT NULL), []) AS seen_modes,
    max(nights) AS most_nights,
    min(lowest_c) AS lowest_c
  FROM before
)
SELECT r.months, r.mode, r.nights, u.usual_low_c, s.*
FROM trip_ranges AS r
JOIN trip_usual_lows AS u ON u.trip = r.trip
CROSS JOIN seen AS s
WHERE r.trip = $trip
