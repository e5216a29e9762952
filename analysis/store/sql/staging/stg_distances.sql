-- One row a distance row. The mode stays blank where the trip's own stands.
SELECT
  trip,
  day,
  mode,
  distance_mm,
  ascent_mm,
  hours,
  battery_wh
FROM distances
