"""The columns of a thermometer's file in which each row names the unit of its temperature."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ..names import normalised, shown
from ..units import SIGNS
from .units_named import named_units, other_unit, unit_cell

_MOST_TEXTS = 40
"""A column with more different cells holds no units."""
_UNIT_WORDS = {"uom", "scale", "einheit", "unité", "unite", "unidad", "unità", "unita", "eenheid"}
_FLAG_WORDS = {
    *("flag", "flags", "status", "state", "alarm", "event", "events", "quality", "mode", "door"),
    *("battery", "fix", "logged", "stopped", "ended", "connected", "coupler"),
}
ColumnTexts = Mapping[int, Counter[str]]
"""By column, counted from 0, how often each filled cell stands in it."""


@dataclass(frozen=True, slots=True)
class UnitsBeside:
    """What the rows of a file say of their unit.

    ``rows``: in how many rows each unit (c, f, k) is named; ``others``: what else stands in the
    column of units, such as the % of a humidity. ``column`` is the first such column, from 0.
    """

    column: int
    rows: Mapping[str, int]
    others: Mapping[str, int]
    cells: Mapping[str, str]

    @property
    def mixed(self) -> str:
        """That rows have several units, in words; empty where all have one."""
        if len(self.rows) + len(self.others) < 2:
            return ""
        named = {SIGNS.get(unit, "K"): number for unit, number in self.rows.items()}
        named |= {shown(text): number for text, number in [*self.others.items()][:3]}
        return "its rows are in several units: " + ", ".join(
            f"{sign} in {_rows(number)}" for sign, number in named.items()
        )

    def under(self, unit: str, header: str) -> str:
        """What is wrong where a column in ``unit``, c or f, is called ``header``, or nothing."""
        if self.mixed:
            return f"{self.mixed}; none of it is read; put each unit's rows into a file of its own"
        (named,) = self.rows
        if named == unit:
            return ""
        cell = f"{shown(self.cells[named])}, in {_rows(self.rows[named])},"
        return (
            f"{cell} names {SIGNS.get(named, 'K')}, but the readings stand under {header}; rename "
            "the column that is wrong"
        )

    def fault(self, unit: str, title: str) -> str:
        """What is wrong where the setting ``unit``, c or f, of a table ``title`` reads the file."""
        if self.mixed:
            return f"{self.mixed}; none of it is read; put each unit's rows into a file of its own"
        (named,) = self.rows
        problem = other_unit(self.cells[named], unit, title)
        return problem and f"{shown(self.cells[named])}, in {_rows(self.rows[named])}, {problem}"


def _rows(number: int) -> str:
    return f"{number:,} row{'' if number == 1 else 's'}"


def column_texts(rows: Iterable[Sequence[str]], columns: Sequence[int]) -> ColumnTexts:
    """What stands in those columns of rows, without those that hold too much to be units."""
    texts: dict[int, Counter[str]] = {n: Counter() for n in columns}
    for row in rows:
        for n in [n for n in texts if n < len(row)]:
            if text := row[n].strip():
                texts[n][text] += 1
                if len(texts[n]) > _MOST_TEXTS:
                    del texts[n]
    return texts


def units_beside(
    names: Sequence[str], texts: ColumnTexts, position: int, rows: int
) -> UnitsBeside | None:
    """What the rows say of the unit of a temperature; None where no column names one.

    ``names`` are the headers, blank where there are none; ``position`` is the temperature's column,
    from 0, ``rows`` how many have a reading. Next to it a column of units is its own; else all
    count.
    """
    named = {n: _named(names[n] if n < len(names) else "", cells) for n, cells in texts.items()}
    good = [
        n
        for n, cells in texts.items()
        if n != position
        and _is_of_units(names[n] if n < len(names) else "", cells, named[n], position - n, rows)
    ]
    good = [n for n in good if abs(n - position) == 1] or good
    if not good:
        return None
    counts: Counter[str] = Counter()
    others: Counter[str] = Counter()
    first: dict[str, str] = {}
    for n in good:
        for text, number in texts[n].items():
            if unit := named[n].get(text):
                counts[unit] += number
                first.setdefault(unit, text)
            elif says_unit(names[n] if n < len(names) else ""):
                others[text] += number
    return UnitsBeside(good[0], counts, others, first)


def says_unit(header: str) -> bool:
    """Whether a header says that units stand below."""
    words = normalised(header).split("_")
    either = {"c", "f"} <= named_units(header)
    return either or any(w in _UNIT_WORDS or w.endswith(("unit", "units")) for w in words)


def _named(header: str, cells: Iterable[str]) -> dict[str, str]:
    """The unit that each cell names which names one; below "unit" it may stand in more words."""
    wide = says_unit(header)
    units = {text: named_units(text) for text in cells if wide or unit_cell(text)}
    units |= {text: {"k"} for text in cells if wide and normalised(text) == "k"}
    return {text: next(iter(each)) for text, each in units.items() if len(each) == 1}


def _is_of_units(
    header: str, cells: Counter[str], named: Mapping[str, str], distance: int, rows: int
) -> bool:
    """Whether units stand in a column: its header says so, or its cells hold little else.

    A bare letter far from the temperature may be anything, unless it stands in every row.
    """
    if not named or says_unit(header):
        return bool(named)
    if not _FLAG_WORDS.isdisjoint(normalised(header).split("_")):
        return False
    units, filled = sum(cells[text] for text in named), cells.total()
    if abs(distance) == 1 or any(len(text) > 1 for text in named):
        return units * 2 >= filled
    return units == filled and filled * 2 >= rows
