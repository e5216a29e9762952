-- Each day of travel on the trips $trips, however one travelled on it. Where $mode is one way of
-- travelling, only what was travelled so.
SELECT
  d.trip,
  d.day,
  CAST(sum(d.distance_mm) AS BIGINT) / 1000000 AS distance_km,
  CASE WHEN count(d.ascent_mm) = count(*) THEN CAST(sum(d.ascent_mm) AS BIGINT) / 1000 END
    AS ascent_m
FROM stg_distances AS d
JOIN stg_trips AS t ON t.trip = d.trip
WHERE
  d.trip = ANY($trips)
  AND ($mode IS NULL OR $mode = 'mixed' OR coalesce(d.mode, t.mode) = $mode)
GROUP BY d.trip, d.day
ORDER BY d.trip, d.day
