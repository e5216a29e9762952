-- Every item that came along on a trip that took place: nights of the trips on which it was used, as
-- far as the trip on which it first failed for good (that one included, whether or not its use is
-- noted; what was fixed since has not failed for good), what it cost and for how many nights it came along in all.
-- Without what is eaten or used up, of which no failure is noted.
WITH lost AS (
  SELECT
    f.item,
    min((t.start_on, t.end_on, t.trip)) AS failed_at,
    arg_min(f.day, (t.start_on, t.end_on, t.trip, f.day IS NULL, f.day)) AS day
  FROM stg_failures AS f
  JOIN stg_trips AS t ON t.trip = f.trip
  WHERE NOT t.plan AND f.severity IN ('lost_use', 'unsafe') AND f.fixed_on IS NULL
  GROUP BY f.item
),
lived AS (
  SELECT
    n.item,
    CAST(sum(n.nights) AS BIGINT) AS nights_carried,
    CAST(
      coalesce(
        sum(n.nights) FILTER (
          (n.used OR (t.start_on, t.end_on, t.trip) = l.failed_at)
          AND (l.item IS NULL OR (t.start_on, t.end_on, t.trip) <= l.failed_at)
        ),
        0
      ) AS BIGINT
    ) AS life_nights
  FROM trip_item_nights AS n
  JOIN stg_trips AS t ON t.trip = n.trip
  LEFT JOIN lost AS l ON l.item = n.item
  GROUP BY n.item
)
SELECT
  v.item,
  g.name,
  g.system,
  v.life_nights,
  v.nights_carried,
  g.price,
  g.currency,
  g.retired_on,
  l.item IS NOT NULL AS failed,
  coalesce(l.day, l.failed_at[1]) AS failed_on
FROM lived AS v
JOIN stg_gear AS g ON g.item = v.item
LEFT JOIN lost AS l ON l.item = v.item
WHERE EXISTS (
    FROM stg_failures AS f
    JOIN stg_trips AS t ON t.trip = f.trip
    WHERE NOT t.plan AND f.item = v.item
  )
  OR (
    g.system <> 'food'
    AND v.item NOT IN (
      SELECT item
      FROM carried_rows
      WHERE NOT plan
      GROUP BY item
      HAVING bool_and(carried_as = 'consumable')
    )
  )
ORDER BY v.item
