-- One row a trip, plans among them.
-- Seasons are meteorological; December belongs to the winter (south of the equator the summer) of
-- the next year.
SELECT
  trip,
  title,
  start_on,
  end_on,
  CAST(end_on - start_on AS INTEGER) AS nights,
  (year(start_on) + CAST(month(start_on) = 12 AS INTEGER)) || ' '
    || ['winter', 'spring', 'summer', 'autumn'][
      (month(start_on) % 12 // 3 + CASE WHEN latitude < 0 THEN 2 ELSE 0 END) % 4 + 1
    ] AS season,
  mode,
  people,
  place,
  latitude,
  longitude,
  elevation_mm / 1000 AS elevation_m,
  station,
  use_record AS stated_use_record,
  plan,
  note
FROM trip
