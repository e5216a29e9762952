"""Writes an analysis table as text, CSV, JSON or Parquet, to stdout or a file."""

import sys
from collections.abc import Callable, Mapping
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from ..tripdata.errors import QuestionError
from ..tripdata.names import inert, printable, printable_json
from .output import whole

if TYPE_CHECKING:
    from duckdb import DuckDBPyRelation

    from ..analysis.catalogue.entry import Entry

_WIDEST = 100


def write(
    entry: "Entry",
    logbook: Path,
    form: str = "text",
    out: Path | None = None,
    options: Mapping[str, Any] | None = None,
) -> tuple[str, ...]:
    """Write a table of a logbook whose store is current, as text, csv, json or parquet.

    Returns sentences on what to know of it. A file is written beside its place and moved there, so
    that it is never half a table. Raises QuestionError where it cannot be written or answered.
    """
    from ..analysis.store.opening import open_store
    from ..tripdata.store import store_path

    with open_store(store_path(logbook), entry.view) as store:
        relation, remarks = entry.answer(store, **(options or {}))
        if form == "parquet":
            _parquet(relation, out)
        elif out is None:
            _text_form(relation, entry, form, sys.stdout)
        else:
            with whole(out) as part, part.open("w", encoding="utf-8", newline="") as stream:
                _text_form(relation, entry, form, stream)
    return remarks


def _parquet(relation: "DuckDBPyRelation", out: Path | None) -> None:
    # Not by DuckDB: a store is open without access to files.
    from pyarrow import parquet  # type: ignore[import-untyped]

    rows = relation.to_arrow_table()
    if out is not None:
        with whole(out) as part, part.open("wb") as stream:
            parquet.write_table(rows, stream)
        return
    if sys.stdout.isatty():
        raise QuestionError("parquet is not for the screen; name a file with --out FILE")
    parquet.write_table(rows, sys.stdout.buffer)
    sys.stdout.buffer.flush()


def _text_form(relation: "DuckDBPyRelation", entry: "Entry", form: str, out: TextIO) -> None:
    if form == "csv":
        _csv(relation, out)
    elif form == "json":
        _json(relation, out)
    else:
        _plain(relation, entry, out)


def _iso(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat(" ")
    return value.isoformat() if isinstance(value, date) else value


def _csv(relation: "DuckDBPyRelation", out: TextIO) -> None:
    """CSV that a spreadsheet shows rather than runs: text that begins like a formula is marked.

    It is text as typed, but on a terminal, which would obey what it holds.
    """
    import csv

    text = (lambda cell: printable(inert(cell))) if out.isatty() else inert
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(relation.columns)
    for row in relation.fetchall():
        writer.writerow([_csv_cell(value, text) for value in row])


def _csv_cell(value: Any, text: Callable[[str], str]) -> Any:
    if isinstance(value, bool):
        return "true" if value else "false"
    return text(value) if isinstance(value, str) else _iso(value)


def _json(relation: "DuckDBPyRelation", out: TextIO) -> None:
    names = relation.columns
    out.write("[")
    for number, row in enumerate(relation.fetchall()):
        out.write(",\n " if number else "\n ")
        values = dict(zip(names, map(_iso, row), strict=True))
        out.write(printable_json(values))
    out.write("\n]\n")


def _plain_cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        if 0 < abs(value) < 0.01:
            return f"{value:.1g}"
        text = f"{value:,.2f}".rstrip("0").rstrip(".")
        return "0" if text == "-0" else text
    text = printable(str(_iso(value)))
    return text if len(text) <= _WIDEST else text[: _WIDEST - 1] + "…"


def _plain(relation: "DuckDBPyRelation", entry: "Entry", out: TextIO) -> None:
    """Columns side by side, numbers to the right, with two decimals or one digit that is not 0."""
    names = list(relation.columns)
    rows = [[_plain_cell(value) for value in row] for row in relation.fetchall()]
    right = {t.name for t in entry.columns if t.kind in ("number", "whole")}
    widths = [max([len(n), *(len(r[i]) for r in rows)]) for i, n in enumerate(names)]

    def line(cells: list[str]) -> str:
        placed = [
            cell.rjust(width) if name in right else cell.ljust(width)
            for cell, width, name in zip(cells, widths, names, strict=True)
        ]
        return "  ".join(placed).rstrip() + "\n"

    out.write(line(names))
    out.writelines(map(line, rows))
    out.write(f"{len(rows)} row{'' if len(rows) == 1 else 's'}\n")
