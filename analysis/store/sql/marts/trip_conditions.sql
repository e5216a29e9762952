-- Grain: trip that is no plan, condition that some item is meant for (for cold with the low under
-- which): whether it came about on the trip.
-- It did if one day shows it, it did not if every day is known not to, else `happened` is missing.
-- Cold is a matter of nights: of a trip without a night it is known that none was cold. Without a
-- low under which, cold is not known.
WITH signs AS (
  SELECT DISTINCT condition, cold_below_c FROM item_conditions
),
words AS (
  SELECT DISTINCT trip, unnest(conditions) AS word FROM stg_weather
)
SELECT
  t.trip,
  s.condition,
  s.cold_below_c,
  CASE s.condition
    WHEN 'wet' THEN CASE WHEN t.wet_days > 0 THEN true WHEN t.wet_known = t.days THEN false END
    WHEN 'cold'
      THEN CASE
        WHEN s.cold_below_c IS NULL THEN NULL
        WHEN t.lowest_c < s.cold_below_c THEN true
        WHEN t.nights_known = t.nights THEN false
      END
    ELSE CASE WHEN w.word IS NOT NULL THEN true WHEN t.conditions_known = t.days THEN false END
  END AS happened
FROM trip_weather AS t
CROSS JOIN signs AS s
LEFT JOIN words AS w ON w.trip = t.trip AND w.word = s.condition
