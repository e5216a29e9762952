"""What goes out: the records as the store keeps them, and the tables that come out."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from ...analysis.catalogue.entry import Entry
from ...analysis.catalogue.terms import Term
from ...analysis.tables import TABLES
from ...tripdata.contract import TABLES as RECORDS
from ...tripdata.contract import Column, Table
from ...tripdata.schema import never_null
from ...tripdata.table_schema import unit_of_stored

OutgoingKind = Literal["text", "whole", "number", "flag", "date", "moment", "list"]
_KINDS: dict[str, OutgoingKind] = {
    "items": "list",
    "names": "list",
    "words": "list",
    "flag": "flag",
    "use": "whole",
    "whole": "whole",
    "number": "number",
    "date": "date",
    "moment": "moment",
}
_ASIDE = "set_aside"
"""The table that may name trips and items that are not there."""


@dataclass(frozen=True, slots=True)
class OutgoingColumn:
    """A column; ``unit`` is empty where there is none, ``required`` says that it is never missing.

    ``refers_to`` is the table and column in which each of its values stands, where there is one.
    """

    name: str
    kind: OutgoingKind
    unit: str
    meaning: str
    required: bool
    choices: tuple[str, ...] = ()
    refers_to: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Outgoing:
    """A table that goes out.

    ``folder``: records or tables. ``row``: what one row stands for. ``key``: the columns that tell
    its rows apart, where that is promised. ``entry`` is what answers it; records have none.
    """

    name: str
    folder: Literal["records", "tables"]
    row: str
    columns: tuple[OutgoingColumn, ...]
    key: tuple[str, ...] = ()
    entry: Entry | None = None

    @property
    def by_season(self) -> bool:
        """Whether it is a file a season: where each row is of a trip.

        That of the trips themselves is one: readers look up in it what others refer to.
        """
        return self.name != "trip" and any(
            column.name == "trip" and column.required for column in self.columns
        )

    @property
    def filed(self) -> tuple[OutgoingColumn, ...]:
        """The columns within its files: of those by season, the folder's name says the season."""
        return tuple(c for c in self.columns if not (self.by_season and c.name == "season"))


def outgoing() -> tuple[Outgoing, ...]:
    """Every table that goes out, records first."""
    return (*map(_of_records, RECORDS), *map(_of_entry, TABLES.values()))


def _of_records(table: Table) -> Outgoing:
    columns = tuple(_of_column(table, column) for column in table.columns)
    key = tuple(table.column(name).stored for name in table.key)
    sure = {column.name for column in columns if column.required}
    key = key if sure.issuperset(key) else ()
    return Outgoing(table.name, "records", table.meaning, columns, key)


def _of_column(table: Table, column: Column) -> OutgoingColumn:
    kind = _KINDS.get(column.kind, "text")
    if column.dimension:
        kind = "whole" if column.dimension.whole else "number"
    target = {"item": ("gear", "item"), "trip": ("trip", "trip")}.get(column.kind)
    return OutgoingColumn(
        column.stored,
        kind,
        unit_of_stored(column),
        column.meaning,
        never_null(table, column),
        column.choices,
        target,
    )


def _of_entry(entry: Entry) -> Outgoing:
    sure = entry.view and entry.name != _ASIDE
    columns = tuple(_of_term(term, bool(sure)) for term in entry.columns)
    key = entry.column_names[: entry.sorted_by] if entry.keyed else ()
    return Outgoing(entry.name, "tables", f"one row per {entry.grain}", columns, key, entry)


def _of_term(term: Term, sure: bool) -> OutgoingColumn:
    target = {"trip": ("trip", "trip"), "item": ("gear", "item")}.get(term.name) if sure else None
    return OutgoingColumn(
        term.name, term.kind, term.unit, term.meaning, not term.nullable, refers_to=target
    )


def arrow_schema(columns: Iterable[OutgoingColumn], about: Mapping[str, str] | None = None) -> Any:
    """The columns as a schema of Arrow, each with unit and meaning; ``about``: of the whole."""
    import pyarrow as pa  # type: ignore[import-untyped]

    types = {
        "text": pa.string(),
        "whole": pa.int64(),
        "number": pa.float64(),
        "flag": pa.bool_(),
        "date": pa.date32(),
        "moment": pa.timestamp("us"),
        "list": pa.list_(pa.string()),
    }
    fields = [
        pa.field(c.name, types[c.kind], metadata={"unit": c.unit, "meaning": c.meaning})
        for c in columns
    ]
    return pa.schema(fields, metadata=dict(about or {}))
