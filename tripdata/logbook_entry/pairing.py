"""Which row that stands is the one that is asked for."""

from collections import defaultdict, deque
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ..contract import BY_NAME
from .entry import TripEntry
from .standing import Standing, TripFiles
from .wanted import KEYS, SPOKEN, Values, Wanted, standing_values


@dataclass(frozen=True, slots=True)
class Pairs:
    """What is to be done with a table: rows to compare, to add and to remove."""

    together: tuple[tuple[Wanted, Standing, Values], ...]
    new: tuple[Wanted, ...]
    gone: tuple[tuple[Standing, Values], ...]


def paired(files: TripFiles, entry: TripEntry, table: str, wanted: Sequence[Wanted]) -> Pairs:
    """Pair what is asked for with what stands, by the strictest key that fits.

    A row that is laid out in advance is taken where something is to be written into it, and stays
    where nothing is.
    """
    rows = [(s, standing_values(files, entry, table, s)) for s in files.rows[table]]
    open_rows = [
        (s, standing_values(files, entry, table, s)) for s in files.laid_out.get(table, ())
    ]
    left = list(range(len(wanted)))
    together: list[tuple[int, Standing, Values]] = []
    taken: set[tuple[str, int]] = set()
    for key in KEYS[table]:
        places: dict[Any, deque[tuple[Standing, Values, bool]]] = defaultdict(deque)
        for pool, is_open in ((rows, False), (open_rows, True)):
            for standing, values in pool:
                if (standing.file, standing.line) not in taken:
                    places[key(values)].append((standing, values, is_open))
        still = []
        for number in left:
            found = places.get(key(wanted[number].values))
            if not found or (found[0][2] and wanted[number].empty):
                still.append(number)
                continue
            standing, values, _ = found.popleft()
            taken.add((standing.file, standing.line))
            together.append((number, standing, values))
        left = still
    together.sort(key=lambda each: each[0])
    return Pairs(
        tuple((wanted[n], standing, values) for n, standing, values in together),
        tuple(wanted[n] for n in left if not wanted[n].empty),
        tuple((s, v) for s, v in rows if (s.file, s.line) not in taken),
    )


def blank_values(files: TripFiles, entry: TripEntry, table: str, wanted: Wanted) -> Values:
    """The values of a row of which nothing but the key is written."""
    row = {c: files.blank(BY_NAME[table].column(c)) for c in SPOKEN[table]}
    for name in ("item", "day", "start_on", "end_on"):
        if name in row:
            row[name] = wanted.values[name]
    row["trip"] = files.name
    return standing_values(files, entry, table, Standing("", 0, row))
