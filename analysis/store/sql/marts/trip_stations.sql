-- Grain: trip, plans among them, that a station serves: the one it names, else the least of
-- distance + 1 km for every 10 m of height difference, within 100 km and 700 m; a file's station
-- before a packaged one. `station_choice` has the same rule for a place that is no trip.
-- Normals are brought to the height of the camp by -6.5 K/km (ICAO/ISO 2533 standard atmosphere).
WITH candidates AS (
  SELECT
    d.trip,
    d.named,
    d.distance_km,
    t.elevation_m - n.elevation_m AS height_difference_m,
    coalesce(abs(t.elevation_m - n.elevation_m), 0) AS climb_m,
    n.*
  FROM stg_station_distances AS d
  JOIN stg_trips AS t ON t.trip = d.trip
  JOIN station_normals AS n ON n.station = d.station
  WHERE d.named OR (t.station IS NULL AND d.distance_km <= 100)
),
chosen AS (
  SELECT DISTINCT ON (trip) *
  FROM candidates
  WHERE named OR climb_m <= 700
  ORDER BY trip, packaged, distance_km + climb_m / 10, station
)
SELECT
  *,
  coalesce(-0.0065 * height_difference_m, 0) AS height_adjustment_c
FROM chosen
