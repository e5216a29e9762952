-- How one trip felt, by day and aspect.
SELECT day, aspect, score, warmth, nullif(trim(note), '') AS note
FROM stg_comfort
WHERE trip = $trip
ORDER BY day, list_position(['sleep', 'camp', 'moving', 'fun'], aspect)
