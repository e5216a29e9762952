-- Grain: trip, how far its use is noted: full, all_but, partial or none.
-- Where the trip does not say, full if any use is noted.
WITH noted AS (
  SELECT trip FROM stg_carried WHERE noted_times IS NOT NULL
  UNION
  SELECT trip FROM stg_used
)
SELECT
  t.trip,
  coalesce(
    t.stated_use_record, CASE WHEN n.trip IS NULL THEN 'none' ELSE 'full' END
  ) AS use_record
FROM stg_trips AS t
LEFT JOIN noted AS n ON n.trip = t.trip
