-- One row a thing and column of gear.csv of which the cell could not be read, as it was typed.
SELECT
  item,
  "column",
  any_value("value") AS "value"
FROM cells_not_read
GROUP BY item, "column"
