"""Which row that stands is the one that is asked for."""

from collections import defaultdict, deque
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..contract import BY_NAME
from .entry import TripEntry
from .standing import Standing, TripFiles
from .wanted import KEYS, SPOKEN, Values, Wanted, standing_values

Paired = tuple[Standing, Values]


@dataclass(frozen=True, slots=True)
class Pairs:
    """What is to be done with a table: rows to compare, to add and to remove."""

    together: tuple[tuple[Wanted, Standing, Values], ...]
    new: tuple[Wanted, ...]
    gone: tuple[tuple[Standing, Values], ...]


def paired(files: TripFiles, entry: TripEntry, table: str, wanted: Sequence[Wanted]) -> Pairs:
    """Pair what is asked for with what stands: by the row that was shown, else by the key.

    A row is never paired with another's, of which it would keep the cells that no form shows. A row
    that is laid out in advance is taken where something is to be written into it, and stays where
    nothing is. One that is not finished is changed where it was shown, and never goes.
    """
    rows = [(s, standing_values(files, entry, table, s)) for s in files.rows[table]]
    unfinished = files.unfinished if table == "distances" else ()
    shown = [*rows, *((s, standing_values(files, entry, table, s)) for s in unfinished)]
    laid_out = files.laid_out.get(table, ())
    found: dict[int, Paired] = {}
    taken: set[tuple[str, int]] = set()

    def pair(number: int, row: Paired) -> None:
        found[number] = row
        taken.add((row[0].file, row[0].line))

    by_origin = {files.origins[s.file, s.line]: (s, values) for s, values in shown}
    for number, each in enumerate(wanted):
        row = by_origin.pop(each.origin, None)
        if row is not None:
            pair(number, row)
    free = [row for row in rows if (row[0].file, row[0].line) not in taken]
    open_rows = [(s, standing_values(files, entry, table, s)) for s in laid_out]
    places: dict[Any, deque[tuple[Paired, bool]]] = defaultdict(deque)
    for pool, is_open in ((free, False), (open_rows, True)):
        for row in pool:
            places[KEYS[table](row[1])].append((row, is_open))
    for number, each in enumerate(wanted):
        fits = places.get(KEYS[table](each.values)) if number not in found else None
        if fits and not (fits[0][1] and each.empty):
            pair(number, fits.popleft()[0])
    if table == "carried":
        for number, row in _only_ones(wanted, found, rows, taken):
            pair(number, row)
    return Pairs(
        tuple((wanted[n], *found[n]) for n in sorted(found)),
        tuple(w for n, w in enumerate(wanted) if n not in found and not w.empty),
        tuple((s, v) for s, v in rows if (s.file, s.line) not in taken),
    )


def _only_ones(
    wanted: Sequence[Wanted],
    found: Mapping[int, Paired],
    rows: Sequence[Paired],
    taken: Container[tuple[str, int]],
) -> Iterator[tuple[int, Paired]]:
    """New rows of a thing of which exactly one row stood and is asked for no more: the closest."""
    by_item: dict[str, list[Paired]] = defaultdict(list)
    for row in rows:
        by_item[row[1]["item"]].append(row)
    for item, its in by_item.items():
        standing, values = its[0]
        new = [n for n, w in enumerate(wanted) if n not in found and w.values["item"] == item]
        if len(its) == 1 and new and (standing.file, standing.line) not in taken:
            alike_in = {n: sum(wanted[n].values[c] == values[c] for c in values) for n in new}
            yield max(new, key=alike_in.__getitem__), its[0]


def blank_values(files: TripFiles, entry: TripEntry, table: str, wanted: Wanted) -> Values:
    """The values of a row of which nothing but the key is written."""
    row = {c: files.blank(BY_NAME[table].column(c)) for c in SPOKEN[table]}
    for name in ("item", "day", "start_on", "end_on"):
        if name in row:
            row[name] = wanted.values[name]
    row["trip"] = files.name
    return standing_values(files, entry, table, Standing("", 0, row))
