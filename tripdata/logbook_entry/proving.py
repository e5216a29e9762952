"""Proves new files by reading the logbook as it would be."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from ..leftovers import scratch
from ..problems import Problem
from .cells import alike
from .entry import FileChange, TripEntry
from .standing import TripFiles
from .wanted import KEYS, SPOKEN, Values, Wanted, name_of, standing_values

_TRIPS = "trips"
_MOST = 20
"""Differences that are named."""


@contextmanager
def as_it_would_be(folder: Path, changes: Sequence[FileChange]) -> Iterator[Path]:
    """A logbook with the new files in the place of the old ones; all else are links to it."""
    with scratch() as work:
        overlay = work / "logbook"
        own = {change.path for change in changes}
        _link(folder.absolute(), overlay, "", own)
        for change in changes:
            place = overlay / change.path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(change.after)
        yield overlay


def _link(folder: Path, overlay: Path, at: str, own: set[str]) -> None:
    """Links to all that a folder holds, but for the files that are new."""
    overlay.mkdir()
    for entry in sorted(folder.iterdir()) if folder.is_dir() else []:
        name = at + entry.name
        if any(path.startswith(f"{name}/") for path in own):
            _link(entry, overlay / entry.name, f"{name}/", own)
        elif name not in own and not entry.name.startswith("."):
            (overlay / entry.name).symlink_to(entry)


def differences(
    before: TripFiles,
    after: TripFiles,
    entry: TripEntry,
    wanted: Sequence[Wanted],
    changes: Sequence[FileChange],
) -> list[str]:
    """What would not be read as it was said, or was not said and would be read otherwise."""
    said = [f"{p}" for p in _new(_told(before), _told(after))]
    for table in SPOKEN:
        rows = [standing_values(after, entry, table, each) for each in after.rows[table]]
        asked = [each.values for each in wanted if each.table == table and not each.empty]
        if table == "distances":  # what is not finished stays, whether it is asked for or not
            keys = {KEYS[table](each) for each in asked}
            open_rows = (standing_values(after, entry, table, each) for each in after.unfinished)
            rows += [row for row in open_rows if KEYS[table](row) in keys]
        said += _unlike(table, asked, rows)
    for name in ("used", "temperatures"):
        former = Counter(repr(each.row) for each in before.rows[name])
        if not said and former - Counter(repr(each.row) for each in after.rows[name]):
            said.append(f"rows of {name} that are there already would not be read as before")
    for change in changes:
        if before.others(change.path) != after.others(change.path):
            said.append(f"{change.path}: rows of other trips would not be read as before")
    return said[:_MOST]


def new_warnings(before: TripFiles, after: TripFiles) -> tuple[str, ...]:
    """What would be asked about that is not asked about now."""
    found = _new(before.findings.warnings, after.findings.warnings)
    return tuple(map(str, found))


def _told(files: TripFiles) -> list[Problem]:
    """Every problem, also of records that fail for another's sake."""
    own = [p for p in files.findings.records if p.cause]
    return [*files.findings.problems, *own]


def _new(before: Sequence[Problem], after: Sequence[Problem]) -> list[Problem]:
    """The problems that are new, wherever the lines of the others have moved to."""
    known = Counter(map(_without_lines, before))
    new = []
    for problem in after:
        if known[_without_lines(problem)]:
            known[_without_lines(problem)] -= 1
        else:
            new.append(problem)
    return new


def _without_lines(problem: Problem) -> str:
    return re.sub(r":\d+", "", f"{problem} {problem.raw}")


def _unlike(table: str, asked: Sequence[Values], rows: Sequence[Values]) -> list[str]:
    """What is asked for and not among the rows, and the other way round."""
    by_key: dict[Any, list[Values]] = defaultdict(list)
    for row in rows:
        by_key[KEYS[table](row)].append(row)
    said = []
    for each in asked:
        near = by_key[KEYS[table](each)]
        same = next((n for n, row in enumerate(near) if _same(table, each, row)), None)
        if same is None:
            said.append(f"{table}, {name_of(table, each)}: would not be read as it was said")
        else:
            near.pop(same)
    left = [row for several in by_key.values() for row in several]
    return said + [
        f"{table}, {name_of(table, row)}: would be read, and was not said" for row in left
    ]


def _same(table: str, one: Values, other: Values) -> bool:
    return all(alike(one[column], other[column]) for column in SPOKEN[table])
