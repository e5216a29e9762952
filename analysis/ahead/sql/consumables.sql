-- Every consumable owned when trip $trip began or on its list, and how much of it the list has:
-- missing where it has none, or a row of it is not weighed; `cans`: a piece
-- of each row. `fuel`: of cook gear, what another thing
-- needs, or what is so called. Neither insurance nor water is among them.
WITH listed AS (
  SELECT
    item,
    count(*) AS rows_listed,
    CASE WHEN count(row_mg) = count(*) THEN CAST(sum(row_mg) AS BIGINT) END AS list_mg,
    list({'full_mg': weight_mg, 'pieces': quantity} ORDER BY weight_mg, quantity) AS cans
  FROM carried_rows
  WHERE trip = $trip AND carried_as = 'consumable'
  GROUP BY item
),
before AS (
  SELECT DISTINCT c.item
  FROM carried_rows AS c
  JOIN stg_trips AS ahead ON ahead.trip = $trip
  WHERE
    NOT c.plan
    AND c.trip <> ahead.trip
    AND c.end_on <= ahead.start_on
    AND c.carried_as = 'consumable'
),
needed AS (
  SELECT DISTINCT unnest(g.needs) AS item
  FROM stg_gear AS g
  JOIN stg_trips AS t ON t.trip = $trip
  WHERE
    (g.bought_on IS NULL OR g.bought_on <= t.start_on)
    AND (g.retired_on IS NULL OR g.retired_on > t.start_on)
)
SELECT
  g.item,
  g.name,
  g.system,
  g.system = 'cook' AND (
    n.item IS NOT NULL
    OR regexp_matches(
      lower(g.item || ' ' || g.name),
      '\b(gas|fuel|alcohol|ethanol|spirits?|petrol|paraffin|kerosene|canisters?|cartridges?)\b'
    )
  ) AS fuel,
  coalesce(l.rows_listed, 0) > 0 AS listed,
  l.list_mg,
  l.cans
FROM stg_gear AS g
JOIN stg_trips AS t ON t.trip = $trip
LEFT JOIN listed AS l ON l.item = g.item
LEFT JOIN before AS b ON b.item = g.item
LEFT JOIN needed AS n ON n.item = g.item
WHERE
  g.system <> 'water'
  AND NOT g.insurance
  AND (
    l.item IS NOT NULL
    OR (
      (g.carried_as = 'consumable' OR b.item IS NOT NULL)
      AND (g.bought_on IS NULL OR g.bought_on <= t.start_on)
      AND (g.retired_on IS NULL OR g.retired_on > t.start_on)
    )
  )
ORDER BY g.system, g.item
