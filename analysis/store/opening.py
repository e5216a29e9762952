"""The store, opened for reading, with every view of `sql/staging` and `sql/marts` in place."""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from graphlib import TopologicalSorter
from importlib.resources import files
from pathlib import Path

import duckdb

from ...tripdata.errors import StoreError
from ...tripdata.store import open_for_reading

ROWS_KEPT = 100_000
"""How many rows a store may have for its marts to be worked out once, on opening."""

_READS = re.compile(r"\b(?:FROM|JOIN)\s+([a-z_]+)")
_KEPT = "memory.kept"
_LAYERS = ("staging", "marts")
_ROOMS = files(__package__.rpartition(".")[0])


@cache
def question_text(question: str) -> str:
    """The SELECT of a question by room and name: "cold/x" is ``cold/sql/x.sql``."""
    room, name = question.split("/")
    return _ROOMS.joinpath(room, "sql", f"{name}.sql").read_text(encoding="utf-8")


@cache
def views() -> dict[str, str]:
    """The SELECT of every view by name, those that a view reads from before it."""
    text = {
        path.name.removesuffix(".sql"): path.read_text(encoding="utf-8")
        for layer in _LAYERS
        for path in _ROOMS.joinpath("store", "sql", layer).iterdir()
        if path.name.endswith(".sql")
    }
    reads = {
        name: sorted(set(_READS.findall(select)) & text.keys())
        for name, select in sorted(text.items())
    }
    return {name: text[name] for name in TopologicalSorter(reads).static_order()}


def views_behind(view: str) -> dict[str, str]:
    """The SELECT of a view and of all that it reads from, those before it."""
    needed, found = {view}, {}
    for name, select in reversed(views().items()):
        if name in needed:
            found[name] = select
            needed |= set(_READS.findall(select))
    return dict(reversed(found.items()))


@contextmanager
def open_store(path: Path, view: str = "") -> Iterator[duckdb.DuckDBPyConnection]:
    """Open the store read-only, with its views, for the length of a ``with`` block.

    With a ``view``, it has that and those behind it alone, which takes a part of the time. Nothing
    in it can read another file, the web or more code.

    A reader blocks a writer of the same file, so keep the block short. Raises ``StoreError`` where
    the file is missing, in use by a writer, not a store, or built by another version.
    """
    if not path.is_file():
        raise StoreError(f"{path}: expected a store, found no file; run `tarebook load`")
    try:
        connection = open_for_reading(path)
    except duckdb.Error as error:
        raise StoreError(
            f"{path}: expected a store that can be read, got: {_first_line(error)}; close what "
            "else has it open, or delete the file and run `tarebook load`"
        ) from error
    try:
        wanted = views_behind(view) if view else views()
        if not _small(connection) or not keep_views(connection, wanted):
            create_views(connection, wanted)
    except duckdb.Error as error:
        connection.close()
        raise StoreError(
            f"{path}: expected a store built by this version, got: {_first_line(error)}; delete "
            "the file and run `tarebook load`"
        ) from error
    try:
        yield connection
    finally:
        connection.close()


def create_views(
    connection: duckdb.DuckDBPyConnection, wanted: Mapping[str, str] | None = None
) -> None:
    """Create views, by default every one, for the life of the connection.

    The store's tables must be there.
    """
    wanted = views() if wanted is None else wanted
    statements = [f"CREATE TEMP VIEW {name} AS\n{select}" for name, select in wanted.items()]
    connection.execute(";\n".join(statements))


def _small(connection: duckdb.DuckDBPyConnection) -> bool:
    """Whether all tables of the store together have few rows; these counts are exact after a load.

    Working out every mart of a small store takes no longer than declaring them all as views, each
    of which is planned with all that it reads from. A view is planned again in every question that
    asks it, which takes a hundred times as long as reading rows that are there.
    """
    tables = "SELECT sum(estimated_size) FROM duckdb_tables() WHERE database_name = 'store'"
    (rows,) = connection.execute(tables).fetchall()[0]
    return rows is not None and rows <= ROWS_KEPT


def keep_views(
    connection: duckdb.DuckDBPyConnection, wanted: Mapping[str, str] | None = None
) -> bool:
    """Work views out, by default every one, keep their rows in memory, for their names to read.

    What was kept before gives way. False, and nothing is there, where one cannot be worked out:
    whether that matters is for the question to say that asks it.
    """
    statements = [f"DROP SCHEMA IF EXISTS {_KEPT} CASCADE", f"CREATE SCHEMA {_KEPT}"]
    for name, select in (views() if wanted is None else wanted).items():
        statements += [
            f"CREATE TABLE {_KEPT}.{name} AS\n{select}",
            f"CREATE OR REPLACE TEMP VIEW {name} AS FROM {_KEPT}.{name}",
        ]
    try:
        connection.execute("BEGIN")
        connection.execute(";\n".join(statements))
        connection.execute("COMMIT")
    except duckdb.Error:
        connection.execute("ROLLBACK")
        return False
    return True


def _first_line(error: Exception) -> str:
    return str(error).splitlines()[0]
