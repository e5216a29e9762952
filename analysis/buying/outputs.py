"""The tables on failures, effort and buying, by the name under which they are asked for."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import duckdb

from ..catalogue.frames import typed_frame
from ..catalogue.terms import Output
from . import glossary

if TYPE_CHECKING:
    import pandas as pd

Rows = list[dict[str, Any]]


def failure_rates(connection: duckdb.DuckDBPyConnection, today: date) -> Rows:
    """The rows of ``buying_glossary.FAILURE_RATES``."""
    from ..wear.failures import failure_book
    from ..wear.outputs import failure_rows

    return failure_rows(failure_book(connection, today))


def item_life(connection: duckdb.DuckDBPyConnection, today: date) -> Rows:
    """The rows of ``buying_glossary.ITEM_LIFE``; gear given up by ``today`` is retired."""
    from ..wear.failures import failure_book
    from ..wear.outputs import life_rows

    return life_rows(failure_book(connection, today))


def effort(connection: duckdb.DuckDBPyConnection, _: date) -> Rows:
    """The rows of ``buying_glossary.EFFORT``."""
    from ..effort.carrying_cost import effort as found
    from ..effort.outputs import effort_rows

    return effort_rows(found(connection))


def buying_case(connection: duckdb.DuckDBPyConnection, today: date) -> Rows:
    """The rows of ``buying_glossary.BUYING_CASE``; the last twelve months end with ``today``."""
    from .case_rows import buying_rows
    from .cases import buying_case as cases

    return buying_rows(cases(connection, today))


@dataclass(frozen=True, slots=True)
class BuyingTable:
    """One table of the registry: what it holds, and how its rows are reckoned as of a day."""

    output: Output
    rows: Callable[[duckdb.DuckDBPyConnection, date], Rows]

    def frame(self, connection: duckdb.DuckDBPyConnection, today: date) -> "pd.DataFrame":
        """The rows as a data frame of the types that `frames` tells of."""
        return typed_frame(self.rows(connection, today), self.output.terms)

    def relation(
        self, connection: duckdb.DuckDBPyConnection, today: date
    ) -> duckdb.DuckDBPyRelation:
        """The rows in order as a relation, for writers that need no data frame."""
        from ..catalogue.frames import relation_of

        return relation_of(connection, self.rows(connection, today), self.output)


TABLES: Mapping[str, BuyingTable] = MappingProxyType(
    {
        "failure_rates": BuyingTable(glossary.FAILURE_RATES, failure_rates),
        "item_life": BuyingTable(glossary.ITEM_LIFE, item_life),
        "effort": BuyingTable(glossary.EFFORT, effort),
        "buying_case": BuyingTable(glossary.BUYING_CASE, buying_case),
    }
)
