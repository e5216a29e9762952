"""What an entry is: a table that comes out, its columns with unit and meaning, its options.

Gets the entries that each room declares in its `outputs` and the columns of its `columns.csv`;
answers with rows as a relation or a data frame.

`entry` is a table, `terms` its columns, `options` every option once, `views` the tables that are a
view of the store.
"""
