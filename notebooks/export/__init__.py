"""A logbook as Parquet files that other tools can read, with a Data Package that describes them.

`outgoing` says what goes out and what each column is, `parquet_files` writes a table into one file
or one a season, `described` draws the Data Package, `placing` puts the finished folder in its place
whole or not at all, and `writing` does it all in turn.
"""
