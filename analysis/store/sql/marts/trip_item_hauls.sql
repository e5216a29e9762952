-- Grain: trip that is no plan, item that came along: what hauling it came to, weight x pieces x
-- distance of the days it came along on me, in mg mm.
-- `logged`: the trip has a distance. `own_rows`, `weighed_rows`: rows of mine, those weighed.
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
  c.trip,
  c.item,
  bool_or(t.travelled_mm IS NOT NULL) AS logged,
  count(*) FILTER (c.mine) AS own_rows,
  count(c.row_mg) FILTER (c.mine) AS weighed_rows,
  coalesce(
    sum(
      CAST(c.row_mg AS HUGEINT)
      * (coalesce(e.travelled_mm, t.travelled_mm) - coalesce(s.travelled_mm, 0))
    ) FILTER (c.mine),
    0
  ) AS hauled_mg_mm
FROM carried_rows AS c
LEFT JOIN totals AS t ON t.trip = c.trip
LEFT JOIN days AS e ON e.trip = c.trip AND e.day = c.until_day
LEFT JOIN days AS s ON s.trip = c.trip AND s.day = c.from_day - 1
WHERE NOT c.plan
GROUP BY c.trip, c.item
