"""Columns of the tables that come out: kind, unit, meaning, and whether a value may be missing.

They stand in the ``columns.csv`` of the room that answers the question, a line a column in order.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal, get_args

ColumnKind = Literal["text", "whole", "number", "flag", "date", "moment"]
_HEADER = ["table", "column", "kind", "unit", "nullable", "meaning"]
_ROOMS = files(__package__.rpartition(".")[0])


@dataclass(frozen=True, slots=True)
class Term:
    """One output column. ``unit`` is empty where there is none; missing is empty or null."""

    name: str
    kind: ColumnKind
    unit: str
    meaning: str
    nullable: bool = False


class ColumnsError(Exception):
    """A columns.csv is not as it must be: a mistake of ours, told with its line."""


@cache
def columns_of(room: str) -> Mapping[str, tuple[Term, ...]]:
    """The columns of each table of a room, in order, by the table's name."""
    text = _ROOMS.joinpath(room, "columns.csv").read_text(encoding="utf-8")
    return read_columns(text, f"{room}/columns.csv")


def read_columns(text: str, file: str) -> dict[str, tuple[Term, ...]]:
    """What a columns.csv holds. Raises ColumnsError with the line of the first mistake."""
    tables: dict[str, tuple[Term, ...]] = {}
    last = ""
    for number, line in enumerate(text.splitlines(), 1):
        row = next(csv.reader([line]), [])
        if fault := _fault(row, number == 1, tables, last):
            raise ColumnsError(f"{file}:{number}: {fault}")
        if number > 1:
            last, name, kind, unit, nullable, meaning = row
            term = Term(name, kind, unit, meaning, nullable == "yes")  # type: ignore[arg-type]
            tables[last] = (*tables.get(last, ()), term)
    return tables


def _fault(row: list[str], header: bool, tables: Mapping[str, tuple[Term, ...]], last: str) -> str:
    if header or len(row) != len(_HEADER):
        return "" if header and row == _HEADER else f"expected {','.join(_HEADER)}"
    table, name, kind, unit, nullable, meaning = row
    if [cell for cell in row if cell != cell.strip()]:
        return "a cell begins or ends with a blank"
    if not (table and name and meaning):
        return "table, column and meaning may not be empty"
    if table != last and table in tables:
        return f"{table} is in two places"
    if name in [term.name for term in tables.get(table, ())]:
        return f"{table} has {name} twice"
    if kind not in get_args(ColumnKind):
        return f"kind: expected one of {', '.join(get_args(ColumnKind))}, got {kind}"
    if unit and kind not in ("number", "whole"):
        return f"unit: a {kind} has none"
    if nullable not in ("yes", "no"):
        return f"nullable: expected yes or no, got {nullable}"
    return ""
