-- One row a weather row. Wet where it says so or, where it does not say, from 1 mm of rain on;
-- missing where neither is known. Conditions: missing where not known, empty where there was none.
SELECT
  trip,
  day,
  coalesce(wet, rain_mm >= 1) AS wet,
  rain_mm,
  wind_kmh,
  low_c,
  high_c,
  conditions
FROM weather
