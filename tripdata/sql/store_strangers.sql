SELECT view_name FROM duckdb_views() WHERE NOT internal AND database_name = current_database()
UNION ALL
SELECT function_name FROM duckdb_functions()
WHERE NOT internal AND database_name = current_database()
