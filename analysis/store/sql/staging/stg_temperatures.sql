-- One row a thermometer reading. A night belongs to the date on which it began: noon included to
-- the next noon excluded. Its small hours are 00:00 to 08:00, both included.
-- Millions of rows come through here, so that days are whole numbers, counted from 0001-01-01 (day
-- 0), and microseconds are divided rather than cast: 86400000000 to a day, 43200000000 to noon,
-- 28800000000 to 08:00, 62135596800000000 from 0001-01-01 to 1970-01-01.
SELECT
  trip,
  read_at,
  temperature_c,
  spot,
  (epoch_us(read_at) + 62135596800000000 - 43200000000) // 86400000000 AS night_number,
  (epoch_us(read_at) + 62135596800000000) % 86400000000 <= 28800000000 AS small_hours
FROM temperatures
