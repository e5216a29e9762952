-- One row a trip and item of which a cell about its use could not be read.
SELECT DISTINCT
  trip,
  item
FROM use_not_read
