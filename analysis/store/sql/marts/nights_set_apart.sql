-- Grain: trip, night, failed thing: nights of trips that took place on which sleep or shelter gear was
-- not as it should be, from the day on which it failed (where that is not noted, from the start) to
-- the day on which it was fixed, else to the trip's end. What such a night was like says nothing of
-- the gear when it is whole. `why` is the worst severity noted of it, `what` in its owner's words.
WITH failed AS (
  SELECT
    f.trip,
    f.item,
    g.name,
    g.system,
    f.severity,
    f.what,
    coalesce(f.day, t.start_on) AS failed_on,
    f.fixed_on,
    least(coalesce(f.fixed_on, t.end_on), t.end_on) AS until_on
  FROM stg_failures AS f
  JOIN stg_trips AS t ON t.trip = f.trip
  JOIN stg_gear AS g ON g.item = f.item
  WHERE
    NOT t.plan
    AND g.system IN ('sleep', 'shelter')
    AND f.severity IN ('impaired', 'lost_use', 'unsafe')
),
nightly AS (
  SELECT *, CAST(unnest(range(failed_on, until_on, INTERVAL 1 DAY)) AS DATE) AS night
  FROM failed
)
SELECT
  trip,
  night,
  item,
  name,
  system,
  severity AS why,
  what,
  failed_on,
  fixed_on
FROM nightly
QUALIFY row_number() OVER (
  PARTITION BY trip, night, item
  ORDER BY list_position(['unsafe', 'lost_use', 'impaired'], severity), failed_on, what
) = 1
