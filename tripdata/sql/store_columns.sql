SELECT schema_name, table_name, column_name, data_type
FROM duckdb_columns()
WHERE NOT internal AND database_name = current_database()
ORDER BY ALL
