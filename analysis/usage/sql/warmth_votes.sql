-- On how many nights of the given trips it is noted how warm it felt, and on how many too cold.
SELECT count(warmth) AS judged, count(*) FILTER (warmth <= $too_cold_vote) AS too_cold
FROM nights
SEMI JOIN (SELECT unnest(CAST($trips AS VARCHAR[])) AS trip) AS s ON s.trip = nights.trip
