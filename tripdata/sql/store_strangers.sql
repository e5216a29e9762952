SELECT view_name FROM duckdb_views() WHERE NOT internal AND database_name = current_database()
UNION ALL
SELECT function_name FROM duckdb_functions()
WHERE NOT internal AND database_name = current_database()
UNION ALL
SELECT schema_name FROM duckdb_schemas()
WHERE NOT internal AND database_name = current_database()
UNION ALL
SELECT sequence_name FROM duckdb_sequences() WHERE database_name = current_database()
UNION ALL
SELECT type_name FROM duckdb_types() WHERE NOT internal AND database_name = current_database()
UNION ALL
SELECT index_name FROM duckdb_indexes() WHERE database_name = current_database()
UNION ALL
SELECT trigger_name FROM duckdb_triggers() WHERE database_name = current_database()
