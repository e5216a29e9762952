-- Records that could not be loaded of the tables that comfort and cold are judged from.
SELECT count(DISTINCT ("file", line)) AS records
FROM set_aside_rows
