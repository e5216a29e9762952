"""Questions asked of the store: SQL marts, statistics, results, charts and tables."""
