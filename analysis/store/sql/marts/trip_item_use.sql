-- Grain: trip, item, whether its use is known, whether and how often it was used.
-- Used rows count instead of the carried rows' cells. Known: always in a full record, where it is
-- said in a partial one, never in none. `used` and `times` are missing where not known.
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
    CAST(sum(noted_times) AS INTEGER) AS cell_times
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
    coalesce(n.row_times, i.cell_times) AS said_times,
    n.last_day,
    r.use_record = 'full'
      OR (r.use_record = 'partial' AND coalesce(n.row_times, i.cell_times) IS NOT NULL) AS known
  FROM loads AS i
  JOIN trip_use_records AS r ON r.trip = i.trip
  LEFT JOIN noted AS n ON n.trip = i.trip AND n.item = i.item
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
  CASE WHEN known THEN coalesce(said_times, 0) > 0 END AS used,
  CASE WHEN known THEN coalesce(said_times, 0) END AS times,
  CASE WHEN known AND said_times > 0 THEN coalesce(last_day, last_on) END AS last_used_on,
  first_on,
  last_on,
  on_me,
  unweighed,
  start_mg
FROM said
