-- What the person says that missing a thing of a system costs.
SELECT substr(key, 8) AS system, CAST("value" AS DOUBLE) AS cost
FROM settings
WHERE key LIKE 'regret.%'
ORDER BY system
