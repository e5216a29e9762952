SELECT d.day, coalesce(d.mode, t.mode), d.distance_mm
FROM distances AS d JOIN trip AS t ON t.trip = d.trip
WHERE d.trip = $trip
ORDER BY d.rowid
