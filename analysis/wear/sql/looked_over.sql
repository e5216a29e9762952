-- What is not given up by $day: its last check, what it holds if it is a battery, whose it is.
SELECT item, name, system, insurance, checked_on, capacity_wh, owner
FROM stg_gear
WHERE retired_on IS NULL OR retired_on > $day
ORDER BY item
