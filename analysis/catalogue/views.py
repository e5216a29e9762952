"""The analysis tables: trips, trip_systems, items, nights, normals, trip_normals and set_aside.

What their columns mean stands in `glossary`; the data types of the frames in `frames`. A store is a
connection from `store.open_store`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import duckdb

from ...tripdata.errors import QuestionError
from ...tripdata.names import nearest, normalised
from ..store.rows import to_frame
from . import terms as glossary
from .terms import Output

if TYPE_CHECKING:
    import pandas as pd


def trips(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a trip, plans among them, sorted by trip; columns of ``glossary.TRIPS``."""
    return to_frame(store.view(glossary.TRIPS.view))


def trip_systems(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a trip and system, sorted by both; columns of ``glossary.TRIP_SYSTEMS``."""
    return to_frame(store.view(glossary.TRIP_SYSTEMS.view))


def items(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row an item that came along at least once, sorted by item; ``glossary.ITEMS``."""
    return to_frame(store.view(glossary.ITEMS.view))


def nights(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a trip and night, sorted by both; columns of ``glossary.NIGHTS``."""
    return to_frame(store.view(glossary.NIGHTS.view))


def normals(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a station, product and period, sorted by them; columns of ``glossary.NORMALS``."""
    return to_frame(store.view(glossary.NORMALS.view))


def trip_normals(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a trip and near station, sorted by both; columns of ``glossary.TRIP_NORMALS``."""
    return to_frame(store.view(glossary.TRIP_NORMALS.view))


def set_aside(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a problem, sorted by file, line and column; columns of ``glossary.SET_ASIDE``."""
    return to_frame(store.view(glossary.SET_ASIDE.view))


@dataclass(frozen=True, slots=True)
class AnalysisTable:
    """One table of the registry: what it holds, and how to get it as a data frame."""

    output: Output
    frame: Callable[[duckdb.DuckDBPyConnection], "pd.DataFrame"]

    def relation(self, store: duckdb.DuckDBPyConnection) -> duckdb.DuckDBPyRelation:
        """The rows in order, not yet fetched, for writers that need no data frame.

        ``columns``, ``fetchmany(n)``, ``write_csv(path)``, ``write_parquet(path)`` and
        ``to_arrow_table()`` of the result serve csv, json and parquet; dates come as
        ``datetime.date`` and missing values as None.
        """
        return store.view(self.output.view)


TABLES: Mapping[str, AnalysisTable] = MappingProxyType(
    {
        "trips": AnalysisTable(glossary.TRIPS, trips),
        "trip_systems": AnalysisTable(glossary.TRIP_SYSTEMS, trip_systems),
        "items": AnalysisTable(glossary.ITEMS, items),
        "nights": AnalysisTable(glossary.NIGHTS, nights),
        "normals": AnalysisTable(glossary.NORMALS, normals),
        "trip_normals": AnalysisTable(glossary.TRIP_NORMALS, trip_normals),
        "set_aside": AnalysisTable(glossary.SET_ASIDE, set_aside),
    }
)
"""The analysis tables by the name under which they are asked for."""


def table(name: str) -> AnalysisTable:
    """The table of that name. Raises QuestionError with the names there are."""
    found = TABLES.get(normalised(name))
    if found is not None:
        return found
    near = nearest(name, TABLES)
    guess = f"; did you mean {near}?" if near else ""
    raise QuestionError(f'expected one of {", ".join(TABLES)}, got "{name}"{guess}')
