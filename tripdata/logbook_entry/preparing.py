"""What the files of a trip would be, proved by reading them; nothing is written."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from ..errors import LogbookError, TarebookError
from ..journal import recover
from ..journal_plan import place_in
from ..names import printable, shown, slug, slug_fault
from ..settings import SETTINGS_FILE
from .composing import Composer
from .dropping import fill, kept_name, lines_to_paste, read_thermometer
from .entry import FileChange, TripEntry, Writing
from .inputs import inputs_of
from .not_shown import remarks_on
from .proving import as_it_would_be, differences, new_warnings
from .reading import broken_row
from .standing import Standing, TripFiles
from .typed import Typed
from .wanted import Wanted, wanted_rows

_LONGEST_NAME = 200
"""Bytes in the name of a folder; file systems take 255."""


def prepare(folder: Path, entry: TripEntry) -> Writing:
    """What would be written for an entry, and why it cannot be.

    The files are read as they stand, their new bytes composed, and the logbook is read as it would
    be: what then comes out must be what the entry says, with no problem that was not there before.
    Raises LogbookError where the folder is no logbook, StoreError where a load does not end.
    """
    recover(folder)
    inputs = inputs_of(folder)
    name = slug(entry.trip)
    fault = slug_fault(name)
    if not fault and len(name.encode()) > _LONGEST_NAME:
        fault = f"expected a name of at most {_LONGEST_NAME} bytes"
    if fault:
        return Writing(entry.trip, problems=(f"{shown(entry.trip)}: {fault}",), inputs=inputs)
    before = TripFiles(folder, name, begun=True).read()
    typed = Typed(before)
    remarks = [*remarks_on(typed)]
    if any(file.kind == "track" for file in entry.dropped):
        filled = fill(folder, entry, [f for f in entry.dropped if f.kind == "track"])
        entry, remarks = filled.entry, [*filled.remarks, *remarks]
    problems = [*broken_row(before), *_not_shown(entry, typed)]
    if problems:  # which row is which is not known
        return Writing(name, problems=tuple(map(printable, problems)), inputs=inputs)
    spoilt: set[str] = set()
    wanted = wanted_rows(before, entry, problems, spoilt)
    problems += _contradictions(before, entry, wanted)
    remarks += _in_vain(before, entry, wanted)
    composer = Composer(typed, entry)
    composer.take(wanted, spoilt)
    remarks += composer.remarks
    remarks += _days_that_go(entry, composer.gone)
    thermometers = Thermometers(before, entry)
    changes = (*composer.changes(), *thermometers.changes)
    problems += [*composer.problems, *thermometers.problems, *_misplaced(folder, changes)]
    if not problems and changes:
        with as_it_would_be(folder, changes) as overlay:
            try:
                after = TripFiles(overlay, name).read()
                problems += differences(before, after, entry, wanted, changes)
                remarks += new_warnings(before, after)
            except TarebookError as error:
                problems.append(str(error))
    said = tuple(dict.fromkeys(map(printable, problems)))
    return Writing(name, changes, said, tuple(remarks), thermometers.paste, inputs)


def _not_shown(entry: TripEntry, typed: Typed) -> Iterator[str]:
    """Files whose rows are not those that were shown."""
    shown_rows, now = dict(entry.seen), dict(typed.seen())
    for file in sorted(shown_rows.keys() | now.keys()):
        if file not in shown_rows:
            yield f"{file}: has rows of this trip that were not shown; read the trip again"
        elif shown_rows[file] != now.get(file):
            yield f"{file}: was changed since this trip was read; read it again"


def _days_that_go(entry: TripEntry, gone: Sequence[tuple[Standing, str]]) -> Iterator[str]:
    """What is lost where a trip ends sooner or begins later than it did."""
    start, end = entry.start_on, entry.end_on
    lost: dict[date, list[str]] = defaultdict(list)
    for standing, held in gone:
        day: date | None = standing.row.get("day")
        if day is None or start is None or end is None or standing.row.get("item") is not None:
            continue
        if not start <= day <= end:
            lost[day].append(f"{held} ({standing.file})")
    for day in sorted(lost):
        rows = "; ".join(lost[day])
        yield f"{day} is no longer a day of the trip, so its rows are removed: {rows}"


def _misplaced(folder: Path, changes: Sequence[FileChange]) -> Iterator[str]:
    """Files that must not be written where they lie."""
    for change in changes:
        try:
            place_in(folder, change.path)
        except LogbookError as error:
            yield str(error)


def _contradictions(files: TripFiles, entry: TripEntry, wanted: Sequence[Wanted]) -> Iterator[str]:
    """Where what is said of a use is not what would be counted.

    What used.csv says counts instead of a cell `used`, which is then left as it is.
    """
    noted = files.noted
    said = []
    for each in (w for w in wanted if w.table == "carried"):
        item, use = each.values["item"], each.cells["used"]
        if item not in noted:
            said.append(each.values["used"])
            continue
        each.cells["used"] = None
        times = noted[item]
        if use is None:
            same = times == 0 if entry.use_record == "full" else True
        else:
            same = use == times or (use is True and times > 0)
        if not same:
            row = next(r for r in files.rows["used"] if r.row["item"] == item)
            yield (
                f"{row.file}:{row.line} says how often {shown(item)} was used, {times} in all, and "
                "counts instead; change it there"
            )
    before = [r.row["used"] for r in files.rows["carried"]]
    known = bool(noted) or any(use is not None for use in before)
    if entry.use_record is None and not known and any(use is not None for use in said):
        yield (
            "use_record is blank, and with the first use that is noted all else would count as "
            "unused; write all_but where only what stayed packed is named, full where all that was "
            "used is, partial where neither"
        )


def _in_vain(files: TripFiles, entry: TripEntry, wanted: Sequence[Wanted]) -> Iterator[str]:
    """That a use is said newly which the trip's record of use leaves out."""
    if entry.use_record != "none":
        return
    before = {(r.row["item"], r.row["used"]) for r in files.rows["carried"]}
    uses = [(w.values["item"], w.values["used"]) for w in wanted if w.table == "carried"]
    new = sum(use is not None and (item, use) not in before for item, use in uses)
    if new:
        yield (
            f"use_record is none: what is said of the use of {new} {'row' if new == 1 else 'rows'} "
            "does not count; all_but, full or partial make it count"
        )


class Thermometers:
    """The files of thermometers that an entry would put into the trip's folder."""

    def __init__(self, files: TripFiles, entry: TripEntry) -> None:
        self.problems: list[str] = []
        self.paste = ""
        changes: list[FileChange] = []
        there = {
            Path(name).name.lower(): data
            for name, data in files.contents.items()
            if name.startswith(f"{files.folder}/")
        }
        for file in (f for f in entry.dropped if f.kind == "thermometer"):
            name = kept_name(file, there)
            if not name:
                continue
            read = read_thermometer(file, name, files.settings)
            if read is None or not read.readings:
                self._unread(file.name, *lines_to_paste(file))
                continue
            there[name.lower()] = file.content
            count = len(read.readings)
            line = f"new: {shown(file.name)} unchanged, {count:,} readings"
            path = f"{files.folder}/{name}"
            changes.append(FileChange(path, False, count, 0, 0, (line,), b"", file.content))
        self.changes = tuple(changes)

    def _unread(self, name: str, paste: str, why_not: str) -> None:
        if not paste:
            why = why_not or "it has no reading"
            self.problems.append(f"{shown(name)} cannot be read as a thermometer's file: {why}")
            return
        if paste not in self.paste:
            self.paste = f"{self.paste}\n{paste}".strip("\n")
        self.problems.append(
            f"{shown(name)} can be read once these lines are in {SETTINGS_FILE}; put them there, "
            "or leave the file out"
        )
