-- What one trip's systems weighed on me at the start, heaviest first.
SELECT system, base_g, worn_g, consumable_g, vehicle_g, items
FROM trip_systems
WHERE trip = $trip
ORDER BY
  coalesce(base_g, 0) + coalesce(worn_g, 0) + coalesce(consumable_g, 0) + coalesce(vehicle_g, 0) DESC,
  system
