"""Columns as fields of a Table Schema; a Data Package as text that shows if it was changed.

Source: Frictionless Data Package and Table Schema, version 1 (specs.frictionlessdata.io).
``unit``, beside what these name, is a property of our own, which they allow.
"""

import hashlib
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from .contract import Column, Table
from .moments import strptime_form
from .names import printable_json, squeezed
from .units import DIMENSIONS, SIGNS, Dimension
from .version import VERSION

PACKAGE_FILE = "datapackage.json"
"""The name that a Data Package's description has to have."""
_YES = ("yes", "y", "true", "1", "x")
_NO = ("no", "n", "false", "0")
_TYPES = {"flag": "boolean", "number": "number", "whole": "integer", "date": "date"}

Descriptor = dict[str, Any]


def title_of(name: str, unit: str = "") -> str:
    """A column's name as a heading: ``low_c`` in °C is "Low (°C)"."""
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:] + (f" ({SIGNS.get(unit, unit)})" if unit else "")


def field_of_file(
    column: Column,
    header: str,
    unit: str,
    *,
    required: bool,
    comma: bool,
    dates: str,
    cells: Iterable[str] | None,
) -> Descriptor:
    """The field of a column of a CSV file.

    header: the cell as it stands in the file; unit: the suffix that it carries, if any; comma:
    whether the file writes decimals so; dates: the declared form that its dates have, empty where
    the year comes first; cells: what is written in it, since a choice may be spelt in several ways;
    None where not all of it is known.
    """
    field: Descriptor = {"name": header, "title": title_of(column.name, unit)}
    field |= _type_of(column, comma, dates)
    field["description"] = column.meaning
    if unit:
        field["unit"] = SIGNS.get(unit, unit)
    constraints = _constraints(column, unit, cells)
    if required:
        constraints = {"required": True, **constraints}
    if constraints:
        field["constraints"] = constraints
    return field


def _type_of(column: Column, comma: bool, dates: str) -> Descriptor:
    """The type of a column's cells. A moment in a declared form stays text: it has several ways."""
    if column.kind == "flag":
        return {"type": "boolean", "trueValues": _spellings(_YES), "falseValues": _spellings(_NO)}
    if column.kind == "date" and dates:
        return {"type": "date", "format": strptime_form(dates)}
    if column.kind == "moment" and not dates:
        return {"type": "datetime", "format": "any"}
    kind = "number" if column.dimension else _TYPES.get(column.kind, "string")
    return {"type": kind, "decimalChar": ","} if kind == "number" and comma else {"type": kind}


def _spellings(words: tuple[str, ...]) -> list[str]:
    return list(dict.fromkeys(s for w in words for s in (w, w.capitalize(), w.upper())))


def _constraints(column: Column, unit: str, cells: Iterable[str] | None) -> Descriptor:
    """What cells may hold. What is above 0 is said to be at least 0: there is no other word."""
    if column.choices:
        if cells is None:
            return {}
        known = {squeezed(choice) for choice in column.choices}
        other = {cell for cell in cells if squeezed(cell) in known} - set(column.choices)
        return {"enum": [*column.choices, *sorted(other)]}
    if column.kind == "use":
        return {"pattern": f"({'|'.join(_spellings(_YES + _NO))}|[0-9]+)"}
    if column.low is None or column.high is None:
        return {}
    low, high = (_in_unit(column.dimension, end, unit) for end in (column.low, column.high))
    if column.kind == "whole":
        return {"minimum": int(low), "maximum": int(high)}
    return {"minimum": low, "maximum": high}


def _in_unit(dimension: Dimension | None, value: float, unit: str) -> float:
    """The end of a range, which the contract gives in one unit, in that of the file."""
    if dimension is None:
        return value
    if unit == "f":
        return value * 9 / 5 + 32
    stored = value * float(dimension.factors[dimension.range_unit])
    return float(f"{stored / float(dimension.factors[unit]):.10g}")


def key_of_file(table: Table, there: set[str], in_trip_folder: bool) -> list[str]:
    """The columns that tell the rows of a file apart, where each must have a value; else none.

    In a trip's folder the trip need not be written.
    """
    key = [n for n in table.key if not (n == "trip" and in_trip_folder and table.per_trip)]
    sure = [n for n in key if n in there and table.column(n).cell]
    return sure if sure == key and not (in_trip_folder and "trip" in key) else []


def needed(table: Table, column: Column, in_trip_folder: bool) -> bool:
    """Whether every row of a file must have a cell; one laid out in advance has its key alone."""
    if column.name == "trip" and in_trip_folder:
        return False
    return column.cell and (not table.laid_out or column.name in table.key)


def unit_of_stored(column: Column) -> str:
    """The unit of a column as the store keeps it, as it is written."""
    return SIGNS.get(stored := DIMENSIONS[column.kind].stored, stored) if column.dimension else ""


def package_text(package: Descriptor) -> str:
    """A package as the text of its file, with who drew it and a digest by which a change shows."""
    return _sealed(package, hashlib.sha256(_sealed(package, "").encode()).hexdigest())


def _sealed(package: Descriptor, digest: str) -> str:
    drawn = {"by": f"tarebook {VERSION}", **package.get("drawn", {}), "digest": digest}
    return printable_json({**package, "drawn": drawn}, indent=1) + "\n"


def package_as_drawn(path: Path) -> Descriptor | None:
    """The package that a file describes, if it is as the program drew it; else None."""
    try:
        text = path.read_text(encoding="utf-8")
        package = json.loads(text)
        digest = package["drawn"].pop("digest")
        if not isinstance(digest, str):
            return None
        sealed = printable_json({**package, "drawn": {**package["drawn"], "digest": ""}}, indent=1)
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None
    fits = hashlib.sha256(f"{sealed}\n".encode()).hexdigest() == digest
    return package if fits else None
