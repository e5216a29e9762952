-- Every trip that took place on which a bike is among what was bolted on or driven: all of that
-- weighs, in kg. A bike weighs 5 kg at least (common practice, no published source).
SELECT trip, CAST(sum(row_mg) AS BIGINT) / 1000000 AS bike_kg
FROM carried_rows
WHERE on_me AND NOT plan AND carried_as = 'vehicle'
GROUP BY trip
HAVING max(row_mg) FILTER (system = 'bike') >= 5000000
ORDER BY trip
