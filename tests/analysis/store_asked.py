"""A store in memory that works out no more of its marts than a question reads, as it is asked."""

import re
from functools import cache
from typing import Any

import duckdb
from tarebook.analysis.store.opening import views

_KEPT = "memory.kept"
_WORD = re.compile(r"[a-z_]+")
_READS = re.compile(r"\b(?:FROM|JOIN)\s+([a-z_]+)")
_READING = re.compile(r"\s*(?:--[^\n]*\n\s*)*(?:SELECT|WITH|FROM|DESCRIBE)\b", re.IGNORECASE)


@cache
def _needed(text: str) -> tuple[str, ...]:
    """The views that a text may read from, by their names; those they read from stand before."""
    named = views().keys() & set(_WORD.findall(text))
    for name in reversed(views()):
        if name in named:
            named |= views().keys() & set(_READS.findall(views()[name]))
    return tuple(name for name in views() if name in named)


class AskedStore:
    """A connection whose views stand as they do where a small store is opened: with their rows.

    Opening one works out every view. Tests fill theirs over and over and ask a little each time, so
    here a view is worked out when it is first read after a change; declared and not worked out, it
    would be planned anew, with all that it reads from, in each question.
    """

    def __init__(self, connection: duckdb.DuckDBPyConnection) -> None:
        self._connection = connection
        self._declared: set[str] = set()
        self._there: set[str] = set()
        connection.execute(f"CREATE SCHEMA {_KEPT}")

    def __enter__(self) -> "AskedStore":
        return self

    def __exit__(self, *_: object) -> None:
        self._connection.close()

    def __getattr__(self, name: str) -> Any:
        # Whatever is not one of those below may change the tables.
        self._there.clear()
        return getattr(self._connection, name)

    def _work_out(self, text: str) -> None:
        for name in _needed(text):
            if name not in self._there:
                self._connection.execute(
                    f"CREATE OR REPLACE TABLE {_KEPT}.{name} AS\n{views()[name]}"
                )
                self._there.add(name)
            if name not in self._declared:
                self._connection.execute(f"CREATE TEMP VIEW {name} AS FROM {_KEPT}.{name}")
                self._declared.add(name)

    def execute(self, query: str, parameters: object = None) -> duckdb.DuckDBPyConnection:
        """What a connection does."""
        if _READING.match(query):
            self._work_out(query)
        else:
            self._there.clear()
        return self._connection.execute(query, parameters)

    def sql(self, query: str, **more: Any) -> duckdb.DuckDBPyRelation:
        """What a connection does."""
        self._work_out(query)
        return self._connection.sql(query, **more)

    def view(self, name: str) -> duckdb.DuckDBPyRelation:
        """What a connection does."""
        self._work_out(name)
        return self._connection.view(name)

    def table(self, name: str) -> duckdb.DuckDBPyRelation:
        """What a connection does."""
        self._work_out(name)
        return self._connection.table(name)
