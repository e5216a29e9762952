SELECT
  item,
  coalesce(replaces, []) AS replaces,
  retired_on IS NOT NULL AND retired_on <= $day AS given_up,
  bought_on IS NULL OR bought_on <= $day AS bought
FROM gear
ORDER BY rowid
