SELECT DISTINCT c.item FROM carried AS c JOIN gear AS g ON g.item = c.item
WHERE c.trip = $trip AND g.retired_on <= $day ORDER BY c.item
