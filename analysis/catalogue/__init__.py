"""What an entry is: the columns of a table that comes out, with unit and meaning."""
