"""Accepted records on their way into the store.

Rows are written, typed and canonical, to one plain file a table and loaded from there in one
statement: inserting them one by one would cost more than reading them.
"""

import csv
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from .contract import BY_NAME
from .schema import quoted, sql_type

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_AT_ONCE = 5_000
_LISTS = {
    t.name: tuple(n for n, c in enumerate(t.columns) if sql_type(c).endswith("[]"))
    for t in BY_NAME.values()
}


class Sink:
    """Collects rows per table in a folder of its own and loads them into the store."""

    def __init__(self, folder: Path, connection: "DuckDBPyConnection | None") -> None:
        self._folder, self._connection = folder, connection
        self._rows: dict[str, list[Sequence[Any]]] = {}
        self._files: dict[str, TextIO] = {}

    def keep(self, table: str, values: Sequence[Any]) -> None:
        """Take one row, its values in the order of the table's columns."""
        if self._connection is None:
            return
        rows = self._rows.setdefault(table, [])
        rows.append(values)
        if len(rows) >= _AT_ONCE:
            self._write(table)

    def _write(self, table: str) -> None:
        rows = self._rows.pop(table, [])
        out = self._files.get(table)
        if out is None:
            path = self._folder / f"{table}.rows"
            out = self._files[table] = path.open("w", encoding="utf-8", newline="")
        if places := _LISTS.get(table):
            rows = [_with_lists(row, places) for row in rows]
        # Numbers stand bare; all text is quoted, so that nothing in it means anything.
        csv.writer(out, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\n").writerows(rows)

    def flush(self, table: str) -> None:
        """Load what was taken for a table so far."""
        if table in self._rows:
            self._write(table)
        if table in self._files:
            self._files.pop(table).close()
            path = self._folder / f"{table}.rows"
            assert self._connection is not None
            insert_file(self._connection, table, path)
            path.unlink()

    def discard(self, table: str) -> None:
        """Forget what was taken for a table and not yet loaded."""
        self._rows.pop(table, None)
        if table in self._files:
            self._files.pop(table).close()


def _with_lists(row: Sequence[Any], places: tuple[int, ...]) -> list[Any]:
    """The row with its lists as text: after a `[`, so that an empty one is not a missing one."""
    values = list(row)
    for place in places:
        if values[place] is not None:
            values[place] = "[" + ";".join(values[place])
    return values


SIDE_COLUMNS = {
    "set_aside": "file line column value problem nearest raw trip cause",
    "warnings": "file line column value problem nearest",
    "files": "file records loaded set_aside unreadable laid_out",
    "use_not_read": "trip item",
    "cells_not_read": "item column value",
    "settings": "key value",
    "about": "key value",
}
_SIDE_TYPES = dict.fromkeys(("line", "records", "loaded", "set_aside", "laid_out"), "INTEGER")
_SIDE_TYPES["unreadable"] = "BOOLEAN"
_MAY_BE_EMPTY = ("column", "value", "raw")
"""Text of the side tables that is empty rather than missing where there is none."""


def typed_columns(name: str) -> list[tuple[str, str]]:
    """Stored name and SQL type of every column of a table, of the contract or beside it."""
    if name in BY_NAME:
        return [(c.stored, sql_type(c)) for c in BY_NAME[name].columns]
    return [(c, _SIDE_TYPES.get(c, "VARCHAR")) for c in SIDE_COLUMNS[name].split()]


def insert_file(connection: "DuckDBPyConnection", table: str, path: Path) -> None:
    """Load a file of rows into a table; in it an empty cell is a missing value."""
    columns = typed_columns(table)
    picks = ", ".join(_pick(table, name, kind) for name, kind in columns)
    types = ", ".join(
        f"'{n}': '{'VARCHAR' if kind.endswith('[]') else kind}'" for n, kind in columns
    )
    statement = (
        f"INSERT INTO {quoted(table)} SELECT {picks} FROM read_csv($path, header = false, "
        "auto_detect = false, delim = ',', quote = '\"', escape = '\"', hive_partitioning = false, "
        "max_line_size = 20000000, strict_mode = true, "
        f"new_line = '\\n', columns = {{{types}}})"
    )
    connection.execute(statement, {"path": str(path.absolute())})


def _pick(table: str, name: str, kind: str) -> str:
    column = quoted(name)
    if kind == "VARCHAR[]":
        some = f"string_split(substr({column}, 2), ';')"
        none = "[]::VARCHAR[]" if name in EMPTY_LISTS else "NULL"
        return f"CASE WHEN {column} = '[' THEN {none} ELSE {some} END"
    if table in SIDE_COLUMNS and name in _MAY_BE_EMPTY:
        return f"coalesce({column}, '')"
    return column


EMPTY_LISTS = ("conditions",)
"""Lists in which none at all means something else than blank."""
