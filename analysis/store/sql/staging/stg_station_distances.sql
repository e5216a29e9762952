-- One row a trip and station that is near, nearest or named by the trip.
SELECT
  trip,
  station,
  distance_km,
  named
FROM station_distances
