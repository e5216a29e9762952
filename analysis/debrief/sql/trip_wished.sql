-- What was missed on one trip: owned and left at home, or not owned.
SELECT
  coalesce(g.name, w.what) AS wished,
  w.item,
  coalesce(w.system, g.system) AS system,
  w.how_much,
  nullif(trim(w.note), '') AS note
FROM stg_wished AS w
LEFT JOIN stg_gear AS g ON g.item = w.item
WHERE w.trip = $trip
ORDER BY list_position(['badly', 'much', 'little'], w.how_much), wished, note
