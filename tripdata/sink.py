"""Accepted records on their way into the store.

Rows are written, typed and canonical, to one plain file a table and loaded from there in one
statement: inserting them one by one would cost more than reading them.
"""

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from .contract import BY_NAME, Table
from .schema import quoted, sql_type

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


def _quoted_text(value: str) -> str:
    return '"' + value.replace('"', '""') + '"'


_ENCODERS: dict[type, Callable[[Any], str]] = {
    type(None): lambda _: "",
    str: _quoted_text,
    bool: lambda value: "true" if value else "false",
    int: repr,
    float: repr,
    list: lambda value: _quoted_text("[" + ";".join(value)),
    datetime: lambda value: value.isoformat(" "),
    date: lambda value: value.isoformat(),
}


def encoded(values: list[Any]) -> str:
    """Values as one CSV line: nothing for None, text quoted, lists after a `[`."""
    return ",".join([_ENCODERS[type(v)](v) for v in values]) + "\n"


class Sink:
    """Collects rows per table in a folder of its own and loads them into the store."""

    def __init__(self, folder: Path, connection: "DuckDBPyConnection | None") -> None:
        self._folder, self._connection = folder, connection
        self._files: dict[str, TextIO] = {}

    def keep(self, table: str, values: list[Any]) -> None:
        """Take one row, its values in the order of the table's columns."""
        out = self._files.get(table)
        if out is None:
            path = self._folder / f"{table}.rows"
            out = self._files[table] = path.open("w", encoding="utf-8", newline="\n")
        out.write(encoded(values))

    def flush(self, table: str) -> None:
        """Load what was taken for a table so far."""
        out = self._files.pop(table, None)
        if out is None:
            return
        out.close()
        path = self._folder / f"{table}.rows"
        if self._connection is not None:
            columns = typed_columns(BY_NAME[table]) if table in BY_NAME else SIDE_COLUMNS[table]
            insert_file(self._connection, table, columns, path)
        path.unlink()

    def discard(self, table: str) -> None:
        """Forget what was taken for a table and not yet loaded."""
        out = self._files.pop(table, None)
        if out is not None:
            out.close()


SIDE_COLUMNS = {
    "set_aside": [("file", "VARCHAR"), ("line", "INTEGER"), ("column", "VARCHAR"),
                  ("value", "VARCHAR"), ("problem", "VARCHAR"), ("nearest", "VARCHAR"),
                  ("raw", "VARCHAR"), ("trip", "VARCHAR"), ("cause", "VARCHAR")],
    "warnings": [("file", "VARCHAR"), ("line", "INTEGER"), ("column", "VARCHAR"),
                 ("value", "VARCHAR"), ("problem", "VARCHAR"), ("nearest", "VARCHAR")],
    "files": [("file", "VARCHAR"), ("records", "INTEGER"), ("loaded", "INTEGER"),
              ("set_aside", "INTEGER"), ("unreadable", "BOOLEAN")],
    "settings": [("key", "VARCHAR"), ("value", "VARCHAR")],
    "about": [("key", "VARCHAR"), ("value", "VARCHAR")],
}  # fmt: skip


def typed_columns(table: Table) -> list[tuple[str, str]]:
    """Stored name and SQL type of every column of a table."""
    return [(c.stored, sql_type(c)) for c in table.columns]


def insert_file(
    connection: "DuckDBPyConnection", table: str, columns: list[tuple[str, str]], path: Path
) -> None:
    """Load a file of encoded rows into a table."""
    read = {name: "VARCHAR" if kind.endswith("[]") else kind for name, kind in columns}
    picks = [
        f"string_split(nullif(substr({quoted(n)}, 2), ''), ';')"
        if kind == "VARCHAR[]" and n not in EMPTY_LISTS
        else f"CASE WHEN {quoted(n)} = '[' THEN []::VARCHAR[] "
        f"ELSE string_split(substr({quoted(n)}, 2), ';') END"
        if kind == "VARCHAR[]"
        else quoted(n)
        for n, kind in columns
    ]
    types = ", ".join(f"'{n}': '{kind}'" for n, kind in read.items())
    statement = (
        f"INSERT INTO {quoted(table)} SELECT {', '.join(picks)} FROM read_csv($path, "
        "header = false, auto_detect = false, delim = ',', quote = '\"', escape = '\"', "
        "allow_quoted_nulls = false, max_line_size = 20000000, strict_mode = true, "
        f"new_line = '\\n', columns = {{{types}}})"
    )
    connection.execute(statement, {"path": str(path)})


EMPTY_LISTS = ("conditions",)
"""Lists in which none at all means something else than blank."""
