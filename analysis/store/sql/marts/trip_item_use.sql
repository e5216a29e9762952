-- Grain: trip, item, whether its use is known, whether and how often it was used.
-- Used rows count instead of the carried rows' cells. Known: always in a full record and in all_but,
-- where it is said in a partial one, never in none. What is not said was not used in a full record; in
-- all_but each silent row was used once, of insurance not. `said_times` is what is said alone. `used`
-- and `times` are missing where not known, as where a cell about its use could not be read and nothing
-- else says that it was used.
-- `start_mg` is what its rows on me at the start weigh, missing where none of them is weighed;
-- `unweighed` says that one of them is not.
WITH loads AS (
  SELECT
    trip,
    item,
    any_value(plan) AS plan,
    any_value(system) AS system,
    any_value(insurance) AS insurance,
    min(from_on) AS first_on,
    max(until_on) AS last_on,
    bool_or(on_me) AS on_me,
    bool_or(on_me AND weight_mg IS NULL) AS unweighed,
    CAST(sum(row_mg) FILTER (on_me) AS BIGINT) AS start_mg,
    CAST(sum(noted_times) AS INTEGER) AS cell_times,
    CAST(count(*) FILTER (noted_times IS NULL) AS INTEGER) AS silent_rows
  FROM carried_rows
  GROUP BY trip, item
),
noted AS (
  SELECT
    trip,
    item,
    CAST(sum(times) AS INTEGER) AS row_times,
    max(day) FILTER (times > 0) AS last_day
  FROM stg_used
  GROUP BY trip, item
),
said AS (
  SELECT
    i.*,
    r.use_record,
    n.row_times,
    coalesce(n.row_times, i.cell_times) AS said_times,
    n.last_day,
    CASE WHEN r.use_record = 'all_but' AND NOT i.insurance AND x.item IS NULL THEN i.silent_rows ELSE 0 END
      AS unsaid_times,
    CASE
      WHEN r.use_record = 'none' THEN false
      WHEN n.row_times IS NOT NULL OR i.cell_times > 0 THEN true
      WHEN x.item IS NOT NULL THEN false
      ELSE r.use_record IN ('full', 'all_but') OR i.cell_times IS NOT NULL
    END AS known
  FROM loads AS i
  JOIN trip_use_records AS r ON r.trip = i.trip
  LEFT JOIN noted AS n ON n.trip = i.trip AND n.item = i.item
  LEFT JOIN stg_use_not_read AS x ON x.trip = i.trip AND x.item = i.item
),
counted AS (
  SELECT
    *,
    CASE WHEN known THEN coalesce(row_times, coalesce(cell_times, 0) + unsaid_times) END AS times
  FROM said
)
SELECT
  trip,
  item,
  plan,
  system,
  insurance,
  use_record,
  said_times,
  known,
  times > 0 AS used,
  times,
  CASE WHEN times > 0 THEN coalesce(last_day, last_on) END AS last_used_on,
  first_on,
  last_on,
  on_me,
  unweighed,
  start_mg
FROM counted
