-- One row a thing that was missed.
SELECT
  trip,
  what,
  item,
  system,
  how_much,
  note
FROM wished
