-- Grain: trip, system of which anything came along; plans among them.
-- For each kind: what the rows on me at the start weigh (missing where none of them is weighed) and
-- how many rows there are, so that nothing weighed and nothing carried stay apart. `rows_along` counts
-- all rows, whoever carries them and from whichever day on.
SELECT
  trip,
  system,
  count(*) AS rows_along,
  count(*) FILTER (on_me) AS rows_on_me,
  count(*) FILTER (on_me AND carried_as = 'base') AS base_rows,
  count(*) FILTER (on_me AND carried_as = 'worn') AS worn_rows,
  count(*) FILTER (on_me AND carried_as = 'consumable') AS consumable_rows,
  count(*) FILTER (on_me AND carried_as = 'vehicle') AS vehicle_rows,
  CAST(sum(row_mg) FILTER (on_me AND carried_as = 'base') AS BIGINT) AS base_mg,
  CAST(sum(row_mg) FILTER (on_me AND carried_as = 'worn') AS BIGINT) AS worn_mg,
  CAST(sum(row_mg) FILTER (on_me AND carried_as = 'consumable') AS BIGINT) AS consumable_mg,
  CAST(sum(row_mg) FILTER (on_me AND carried_as = 'vehicle') AS BIGINT) AS vehicle_mg
FROM carried_rows
GROUP BY trip, system
