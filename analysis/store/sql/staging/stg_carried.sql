-- One row a carried row. Weight and kind stay blank where the gear's own stand.
SELECT
  trip,
  item,
  quantity,
  weight_mg,
  carried_as,
  carried_by,
  carried_by IS NULL AS mine,
  bag,
  from_day,
  until_day,
  used AS noted_times,
  brought_home_mg,
  note
FROM carried
