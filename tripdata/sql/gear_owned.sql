SELECT item, 1, NULL, NULL, NULL, NULL FROM gear
WHERE retired_on IS NULL OR retired_on > $day ORDER BY rowid
