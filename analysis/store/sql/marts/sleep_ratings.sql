-- Grain: rated piece of sleep gear that is owned or borrowed: its figure, whose it is (blank is the
-- maker's), and that figure brought to the limit scale, on which ratings of several kinds compare.
-- The shifts are those of `cold/ratings.py`.
SELECT
  item,
  name,
  rated_low_c,
  coalesce(rated_as, 'maker') AS rated_as,
  rated_low_c - CASE rated_as WHEN 'limit' THEN 0.0 WHEN 'comfort' THEN 5.0 ELSE 1.0 END
    AS as_limit_c
FROM stg_gear
WHERE system = 'sleep' AND rated_low_c IS NOT NULL
