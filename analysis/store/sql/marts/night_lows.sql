-- Grain: trip, date with a camp reading in the night that began on it (also outside the trip).
WITH lows AS (
  SELECT
    trip,
    night_number,
    min(temperature_c) AS low_c,
    bool_or(small_hours) AS small_hours
  FROM stg_temperatures
  WHERE spot = 'camp'
  GROUP BY trip, night_number
)
SELECT
  trip,
  DATE '0001-01-01' + CAST(night_number AS INTEGER) AS night,
  low_c,
  small_hours
FROM lows
