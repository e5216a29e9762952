SELECT table_name
FROM duckdb_tables()
WHERE NOT internal AND database_name = current_database()
ORDER BY ALL
