-- One row a weighing, with the days for which it stands: from its own to the one before the next.
SELECT
  item,
  weighed_on,
  weight_mg,
  lead(weighed_on) OVER (PARTITION BY item ORDER BY weighed_on) AS next_weighed_on
FROM weighings
