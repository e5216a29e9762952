-- What each of the trips to come $trips has on its list of shelter, sleep, water, rain and light to rely
-- on, a row for each of them: one's own, neither insurance nor a consumable nor the vehicle's, else all
-- that is no insurance, else all. What is given up by then is not among it.
WITH listed AS (
  SELECT DISTINCT
    c.trip,
    c.item,
    g.system,
    CASE
      WHEN g.insurance THEN 2
      WHEN g.owner IS NOT NULL OR c.carried_as IN ('consumable', 'vehicle') THEN 1
      ELSE 0
    END AS place
  FROM stg_carried AS c
  JOIN stg_gear AS g ON g.item = c.item
  JOIN stg_trips AS t ON t.trip = c.trip
  WHERE c.trip = ANY(CAST($trips AS VARCHAR[]))
    AND g.system = ANY(CAST($systems AS VARCHAR[]))
    AND (g.retired_on IS NULL OR g.retired_on > t.start_on)
)
SELECT trip, system, list(DISTINCT item ORDER BY item) AS items
FROM (
  SELECT * FROM listed QUALIFY place = min(place) OVER (PARTITION BY trip, system)
)
GROUP BY trip, system
ORDER BY trip, system
