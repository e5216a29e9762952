"""Tables for people: headers with units, readable numbers, folded where they are long."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any, Literal

from .markup import escape, fold, isolate
from .words import DASH, NOT_KNOWN, Scale, count, day, is_missing, label, number

if TYPE_CHECKING:
    import pandas as pd

FOLD_AFTER = 12
MOST_ROWS = 500
"""Rows that a page has of a table of which a command gives all."""


@dataclass(frozen=True)
class Column:
    """One column: its key, what its header says, how a value is written.

    dtype: its type in a data frame; text is what is written, all else the row's value, by way of
    ``value`` where it is not in the unit of the header. of: how the row's value is read from a
    record; without it, it is the record's attribute of that key.
    """

    key: str
    header: str
    unit: str = ""
    align: Literal["left", "right"] = "left"
    write: Callable[[Any], str] = str
    value: Callable[[Any], Any] | None = None
    dtype: str = "string"
    of: Callable[[Any], Any] | None = None

    @property
    def title(self) -> str:
        """Header and unit: "Weight (g)"."""
        return f"{self.header} ({self.unit})" if self.unit else self.header

    def series(self, values: Iterable[Any]) -> "pd.Series[Any]":
        """Return values of the rows as a series of the column's type, missing where they are."""
        import pandas as pd

        of = self.value or (self.write if self.dtype == "string" else lambda value: value)
        typed = [None if is_missing(value) or value == "" else of(value) for value in values]
        return pd.Series(typed, dtype=self.dtype)

    def cell(self, value: Any) -> str:
        """Return the cell's text, not yet escaped; an en dash where the value is missing."""
        return DASH if is_missing(value) or value == "" else self.write(value)

    def read(self, record: Any) -> Any:
        """Its value in a record."""
        return getattr(record, self.key) if self.of is None else self.of(record)


_Of = Callable[[Any], Any] | None


def text(key: str, header: str, of: _Of = None) -> Column:
    """Return a column of text as a person wrote it."""
    return Column(key, header, of=of)


def right(key: str, header: str, unit: str = "", of: _Of = None) -> Column:
    """Return a column of figures that are text already."""
    return Column(key, header, unit, "right", of=of)


def words(key: str, header: str, of: _Of = None) -> Column:
    """Return a column of vocabulary words."""
    return Column(key, header, write=label, of=of)


def yes_no(key: str, header: str) -> Column:
    """Return a column of yes and no."""
    return Column(key, header, write=lambda value: "yes" if value else "no", dtype="boolean")


def whole(key: str, header: str, of: _Of = None) -> Column:
    """Return a column of whole numbers."""
    return Column(key, header, align="right", write=number, value=round, dtype="Int64", of=of)


def decimal(key: str, header: str, unit: str = "", decimals: int = 1, of: _Of = None) -> Column:
    """Return a column of numbers in a unit of their own."""
    write = partial(number, decimals=decimals)
    return Column(key, header, unit, "right", write, dtype="float64", of=of)


def measured(
    key: str, header: str, scale: Scale, *, signed: bool = False, of: _Of = None
) -> Column:
    """Return a column of SI values shown on a scale; its unit stands in the header."""
    write = partial(scale.number, signed=signed)
    return Column(key, header, scale.unit, "right", write, scale.value, "float64", of)


def dates(key: str, header: str) -> Column:
    """Return a column of days."""
    return Column(key, header, write=lambda v: day(v, weekday=False), dtype="datetime64[s]")


@dataclass(frozen=True)
class Table:
    """Rows of one grain; more than fold_after of them fold behind a line that counts them.

    noun names one row ("item", "night"); the first column is the row's header. stacks: on a phone
    each row stands as a block, a line a column, so that no answer is off the edge. all_in: the
    table of the command line that has all of it, where a page has the first ``MOST_ROWS`` alone;
    beyond: how many those are not.
    """

    columns: tuple[Column, ...]
    rows: tuple[Mapping[str, Any], ...]
    noun: str
    nouns: str = ""
    caption: str = ""
    fold_after: int = FOLD_AFTER
    stacks: bool = False
    all_in: str = ""
    beyond: int = 0

    @classmethod
    def of(cls, columns: Iterable[Column], rows: Any, noun: str, **more: Any) -> "Table":
        """Return a table of a DataFrame's rows, of mappings, or of records that columns read."""
        columns = tuple(columns)
        rows = rows.to_dict("records") if hasattr(rows, "to_dict") else list(rows)
        if more.get("all_in") and len(rows) > MOST_ROWS:
            # What is not shown is not worked out either.
            more["beyond"], rows = len(rows) - MOST_ROWS, rows[:MOST_ROWS]
        cells = (
            row if isinstance(row, Mapping) else {c.key: c.read(row) for c in columns}
            for row in rows
        )
        return cls(columns, tuple(cells), noun, **more)

    def without_blank(self, *keys: str) -> "Table":
        """Return it without those of these columns (of all) in which no row has a value."""
        blank = {
            c.key for c in self.columns if all(row.get(c.key) is None for row in self.rows)
        } & set(keys or [c.key for c in self.columns])
        return replace(self, columns=tuple(c for c in self.columns if c.key not in blank))

    def without(self, key: str) -> "Table":
        """Return the same table without one of its columns."""
        return replace(self, columns=tuple(c for c in self.columns if c.key != key))

    @property
    def size(self) -> str:
        """How many rows, in words."""
        return count(len(self.rows) + self.beyond, self.noun, self.nouns or None)

    def frame(self) -> "pd.DataFrame":
        """Return the rows as a data frame: its columns are the headers with their units.

        Numbers stand unrounded in the unit of the header (``attrs["units"]``), days as days; what
        is written in words on the page stands as there. A header that comes twice names the one
        before it, too.
        """
        import pandas as pd

        titles = [column.title for column in self.columns]
        names = [
            f"{self.columns[place - 1].header}: {title}" if titles.count(title) > 1 else title
            for place, title in enumerate(titles)
        ]
        columns = dict(zip(names, self.columns, strict=True))
        frame = pd.DataFrame(
            {
                name: each.series(row.get(each.key) for row in self.rows)
                for name, each in columns.items()
            }
        )
        frame.attrs = {"units": {name: each.unit for name, each in columns.items()}}
        return frame

    def html(self) -> str:
        """Return the table, folded where it is long; nothing where it has no rows."""
        if not self.rows:
            return ""
        folded, name = len(self.rows) > self.fold_after, self.caption or self.size
        above = f"<caption>{escape(self.caption)}</caption>" if self.caption and not folded else ""
        look = "tarebook-table stacks" if self.stacks else "tarebook-table"
        body = (
            f'<div class="tarebook-scroll" role="region" tabindex="0" aria-label="{escape(name)}">'
            f'<table class="{look}">{above}{self._head()}{self._body()}</table></div>'
        )
        body += self._rest()
        return fold(f"{self.caption or 'Table'}: {self.size}", body) if folded else body

    def _rest(self) -> str:
        """What is said under a table that was cut."""
        more = self.beyond
        if not more:
            return ""
        them, have = ("it", "is") if more == 1 else ("all", "are")
        rest = count(more, f"more {self.noun}", f"more {self.nouns}" if self.nouns else None)
        command = f"<code>tarebook table {escape(self.all_in)}</code>"
        return f"<p>{escape(rest)} {have} not shown here; {command} has {them}.</p>"

    def _head(self) -> str:
        cells = "".join(
            f'<th scope="col"{_align(column)}>{escape(column.header)}'
            + (f' <span class="unit">({escape(column.unit)})</span>' if column.unit else "")
            + "</th>"
            for column in self.columns
        )
        return f"<thead><tr>{cells}</tr></thead>"

    def _body(self) -> str:
        lines = []
        for row in self.rows:
            cells = []
            for place, column in enumerate(self.columns):
                value = row.get(column.key)
                shown = column.cell(value)
                tag = 'th scope="row"' if place == 0 else "td"
                missing = f' aria-label="{NOT_KNOWN}"' if shown == DASH else ""
                end = tag.split()[0]
                title = f' data-title="{escape(column.title)}"' if self.stacks and place else ""
                looks = f"{_align(column)}{missing}{title}{_day_of(value)}"
                cells.append(f"<{tag}{looks}>{isolate(shown)}</{end}>")
            lines.append(f"<tr>{''.join(cells)}</tr>")
        return f"<tbody>{''.join(lines)}</tbody>"


def _day_of(value: Any) -> str:
    # For a script that sorts: days are often written without their year.
    known = isinstance(value, date) and not is_missing(value)
    return f' data-sort="{value.isoformat()}"' if known else ""


def _align(column: Column) -> str:
    # Inline, because a notebook has no style sheet of ours.
    return f' style="text-align:{column.align}"'
