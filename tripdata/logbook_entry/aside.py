"""Rows of a trip that were set aside: no form shows them, and none is put beside them."""

from itertools import islice

from ..contract import BY_NAME
from ..names import folded
from .cells import hashable
from .entry import TripEntry
from .typed import Typed
from .wanted import Values, Wanted, completed, name_of

_NEEDED = {"carried": "item", "distances": "day", "weather": "day", "comfort": "day"}
"""The column by which a row that could not be read is known, by table with a key."""


class AsideKeys:
    """What can be read of the keys of rows that were set aside."""

    def __init__(self, typed: Typed, entry: TripEntry) -> None:
        self._known: dict[str, list[tuple[str, int, Values]]] = {}
        unfinished = ((each.file, each.line) for each in typed.files.unfinished)
        for file, line in sorted({*typed.files.aside, *unfinished}):
            table = typed.files.sources[file].table
            values = _read_of_key(typed, entry, table, file, line)
            if values:
                self._known.setdefault(table, []).append((file, line, values))

    def fault(self, wanted: Wanted) -> str:
        """Why a row cannot be written anew; empty where none that was set aside may be the same."""
        for file, line, values in self._known.get(wanted.table, ()):
            if all(_same(values[name], wanted.values[name]) for name in values):
                return (
                    f"{file}:{line} has {name_of(wanted.table, wanted.values)} already and could "
                    "not be read; mend or delete that row first, `tarebook check` says how"
                )
        return ""


def _same(one: object, other: object) -> bool:
    if isinstance(one, str) and isinstance(other, str):
        return folded(one) == folded(other)
    return (one or None) == (other or None)


def _read_of_key(typed: Typed, entry: TripEntry, table: str, file: str, line: int) -> Values:
    """The cells of a key that can be read; nothing where it is not known what the row is of."""
    layout = typed.files.layouts[file]
    record = typed.sheet(file).record(line)
    if table not in _NEEDED or layout.faults or record.fault:
        return {}
    columns = [BY_NAME[table].column(name) for name in BY_NAME[table].key if name != "trip"]
    values = {column.name: hashable(typed.files.blank(column)) for column in columns}
    unread = set()
    for field in layout.fields:
        cells = islice(record.cells, field.position, field.position + 1)
        text = next(cells, "").strip()
        if field.column.name in values and text:
            parser = typed.files.parser(table, field.column, field.unit, False)
            value, problem, _ = parser(text)
            values[field.column.name] = hashable(value)
            if problem:
                unread.add(field.column.name)
    if values[_NEEDED[table]] is None or _NEEDED[table] in unread:
        return {}
    whole = completed(typed.files, entry, table, values, typed.files.name)
    return {name: value for name, value in whole.items() if name not in unread}
