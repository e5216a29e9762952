-- One row a comfort row. For sleep, the day is the date on which the night began.
SELECT
  trip,
  day,
  aspect,
  score,
  warmth,
  note
FROM comfort
