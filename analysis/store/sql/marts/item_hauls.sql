-- Grain: item carried at least once on a trip that is not a plan: what hauling it came to, weight x
-- pieces x distance of the days it came along, in mg mm.
-- Missing where none of its trips has a distance or none of its own rows is weighed; 0 where only
-- others carried it.
WITH totals AS (
  SELECT trip, CAST(sum(distance_mm) AS BIGINT) AS travelled_mm
  FROM stg_distances
  GROUP BY trip
),
days AS (
  SELECT trip, day, travelled_mm
  FROM trip_days
  WHERE travelled_mm IS NOT NULL
)
SELECT
  c.item,
  CASE
    WHEN count(t.travelled_mm) = 0 THEN NULL
    WHEN count(*) FILTER (c.mine) > 0 AND count(c.row_mg) FILTER (c.mine) = 0 THEN NULL
    ELSE coalesce(
      sum(
        CAST(c.row_mg AS HUGEINT)
        * (coalesce(e.travelled_mm, t.travelled_mm) - coalesce(s.travelled_mm, 0))
      ) FILTER (c.mine),
      0
    )
  END AS hauled_mg_mm
FROM carried_rows AS c
LEFT JOIN totals AS t ON t.trip = c.trip
LEFT JOIN days AS e ON e.trip = c.trip AND e.day = c.until_day
LEFT JOIN days AS s ON s.trip = c.trip AND s.day = c.from_day - 1
WHERE NOT c.plan
GROUP BY c.item
