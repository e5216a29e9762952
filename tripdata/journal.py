"""Several files of a logbook written whole or not at all, also where all stops in the middle.

New contents are laid beside the files they replace, under hidden names, and copies of the former
ones into `.tarebook/before/<moment>/`, which stay for a while; then, step by step, they are moved
into place. A journal says what is being done. One that is found later belongs to a writing that was
cut off: it is taken back where nothing was in place yet, and finished where all was ready.
"""

import os
import shutil
import stat
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from .errors import ChangedMeanwhileError, LogbookError
from .former_files import BEFORE, sweep
from .journal_plan import JOURNAL, Plan, Step, place_in, read_plan, write_plan
from .lasting import digest, digest_of, make_folder, sync_folder, write_new
from .lock import FOLDER, locked

_BROKEN = "writing-broken.json"
_WAIT_S = 20


@dataclass(frozen=True, slots=True)
class Replacement:
    """A file's former and new bytes, by its path inside the logbook; ``before`` None: none yet."""

    path: str
    before: bytes | None
    after: bytes


class _BarredError(LogbookError):
    """A writing that was cut off can be neither finished nor taken back as things stand."""


def commit(
    logbook: Path, files: Sequence[Replacement], still_good: Callable[[], None] = lambda: None
) -> tuple[Path, ...]:
    """Write all files or none; where they lie. ``still_good`` raises where they must not be.

    Raises ChangedMeanwhileError where a file is no longer what it was, StoreError where another
    load or writing does not end, LogbookError where a file cannot be written; nothing is changed
    then.
    """
    try:
        with locked(logbook, _WAIT_S) as own:
            _recover(logbook, own)
            still_good()
            for file in files:
                _refuse(logbook, file)
            _commit(logbook, own, files)
    except OSError as error:
        raise LogbookError(_cannot(logbook, error)) from error
    return tuple(logbook / file.path for file in files)


def recover(logbook: Path) -> str | None:
    """Finish or take back a writing that was cut off; a line that says so, None where none was.

    One that is barred by a link waits until that is gone, and is told of each time.

    Raises StoreError where another load or writing does not end, LogbookError where a file cannot
    be written.
    """
    if not os.path.lexists(logbook / FOLDER / JOURNAL):
        return None
    try:
        with locked(logbook, _WAIT_S) as own:
            return _recover(logbook, own)
    except _BarredError as error:
        return str(error)
    except OSError as error:
        raise LogbookError(_cannot(logbook, error)) from error


def _cannot(logbook: Path, error: OSError) -> str:
    return f"{error.filename or logbook}: cannot be written ({error.strerror or error})"


def _part(place: Path, plan: Plan, number: int) -> Path:
    """What a new content is called until it is in its place."""
    return place.with_name(f".tarebook-{plan.moment}-{number}.part")


def _changed(place: Path) -> str:
    return f"{place}: was changed since it was read; nothing was written, look at it again"


def _refuse(logbook: Path, file: Replacement) -> None:
    """Raise where a file cannot be written, or is no longer what it was."""
    place = place_in(logbook, file.path)
    if place.exists():
        if not place.is_file():
            raise LogbookError(f"{place}: is not a file; move it out of the logbook or rename it")
        if not (place.stat().st_mode & 0o222 and os.access(place, os.W_OK)):
            raise LogbookError(f"{place}: is read-only; make it writable, or change it by hand")
    if (place.read_bytes() if place.exists() else None) != file.before:
        raise ChangedMeanwhileError(_changed(place))
    folder = next(each for each in place.parents if each.exists())
    if not (folder.is_dir() and os.access(folder, os.W_OK | os.X_OK)):
        raise LogbookError(f"{folder}: no file can be made here; make the folder writable")


def _commit(logbook: Path, own: Path, files: Sequence[Replacement]) -> None:
    steps = tuple(
        Step(
            f.path,
            None if f.before is None else digest(f.before),
            digest(f.after),
            not place_in(logbook, f.path).parent.exists(),
        )
        for f in files
    )
    plan = Plan(_new_moment(own), "staging", steps)
    try:
        write_plan(own, plan)
        for number, file in enumerate(files):
            _stage(logbook, own, plan, number, file)
        for file in files:
            _refuse(logbook, file)
        if _copies(own, plan).is_dir():
            _copies(own, plan).rename(own / BEFORE / plan.moment)
            sync_folder(own / BEFORE)
        plan = plan.in_state("moving")
        write_plan(own, plan)
        _move(logbook, own, plan)
    except BaseException:
        with suppress(OSError, LogbookError):  # where even that fails, the journal tells later
            _take_back(logbook, own, plan)
        raise
    sweep(own, plan.moment)


def _new_moment(own: Path) -> str:
    """A moment of which no former files are kept yet."""
    now = datetime.now().strftime("%Y-%m-%d-%H%M%S-%f")
    number, moment = 1, now
    while os.path.lexists(own / BEFORE / moment):
        number += 1
        moment = f"{now}-{number}"
    return moment


def _copies(own: Path, plan: Plan) -> Path:
    """Where copies of former files lie until all is ready."""
    return own / BEFORE / f".{plan.moment}"


def _stage(logbook: Path, own: Path, plan: Plan, number: int, file: Replacement) -> None:
    """Lay a new content beside its file, and a copy of the former one aside."""
    place = place_in(logbook, file.path)
    if file.before is None:
        make_folder(place.parent)
        write_new(_part(place, plan, number), file.after)
        return
    kept = _copies(own, plan) / file.path
    mode = stat.S_IMODE(place.stat().st_mode)
    make_folder(kept.parent)
    write_new(kept, file.before, mode)
    sync_folder(kept.parent)
    write_new(_part(place, plan, number), file.after, mode)


def _move(logbook: Path, own: Path, plan: Plan) -> None:
    """Put what is laid ready into its place and end the journal."""
    folders = set()
    for number, step in enumerate(plan.steps):
        place = place_in(logbook, step.path)
        part = _part(place, plan, number)
        if part.exists():
            if digest_of(place) not in (step.before, step.after):
                raise ChangedMeanwhileError(_changed(place))
            part.replace(place)
        folders.add(place.parent)
    for folder in sorted(folders):
        if folder.is_dir():
            sync_folder(folder)
    _end(own)


def _recover(logbook: Path, own: Path) -> str | None:
    journal = own / JOURNAL
    if not os.path.lexists(journal):
        return None
    try:
        plan = read_plan(journal)
    except ValueError:
        journal.replace(own / _BROKEN)
        return (
            f"{journal} could not be read and is now {_BROKEN}; compare the files of your last "
            f"trip with those in {FOLDER}/{BEFORE}"
        )
    names = ", ".join(step.path for step in plan.steps)
    if plan.state != "staging":
        _refuse_barred(logbook, journal, plan, names)
    numbers = range(len(plan.steps))
    if plan.state == "moving" and all(_ready(logbook, plan, number) for number in numbers):
        _move(logbook, own, plan)
        return f"the writing of {names} was cut off; it is now finished"
    changed = _take_back(logbook, own, plan)
    but = f", but for {', '.join(changed)}, changed since by something else" if changed else ""
    return f"the writing of {names} was cut off; it is now taken back{but}"


def _refuse_barred(logbook: Path, journal: Path, plan: Plan, names: str) -> None:
    """Raise where a file of which the former or the new content may lie ready cannot be reached."""
    for step in plan.steps:
        try:
            place_in(logbook, step.path)
        except LogbookError as error:
            raise _BarredError(
                f"the writing of {names} was cut off and is not finished yet: {error}, or delete "
                f"{journal} to leave all as it is"
            ) from error


def _strays(logbook: Path, plan: Plan, number: int) -> list[Path]:
    """Where a new content lies ready in a folder that was given another name since."""
    place = logbook / plan.steps[number].path
    if place.parent == logbook or place.parent.exists():
        return []
    found = place.parent.parent.glob(f"*/{_part(place, plan, number).name}")
    return [path for path in found if not path.parent.is_symlink()]


def _ready(logbook: Path, plan: Plan, number: int) -> bool:
    """Whether a file has been put into its place, whatever became of it there, or can be."""
    step = plan.steps[number]
    place = place_in(logbook, step.path)
    now, laid = digest_of(place), digest_of(_part(place, plan, number))
    if laid is None:
        return now != step.before and not _strays(logbook, plan, number)
    return now == step.after or (now == step.before and laid == step.after)


def _take_back(logbook: Path, own: Path, plan: Plan) -> list[str]:
    """Put the former files back; the names of those that another hand changed, which stay."""
    if plan.state == "moving":
        plan = plan.in_state("back")
        write_plan(own, plan)
    changed = []
    for number, step in enumerate(plan.steps):
        try:
            place = place_in(logbook, step.path)
        except LogbookError:
            if plan.state == "staging":  # nothing was put into its place yet
                continue
            raise
        part = _part(place, plan, number)
        for each in (part, *_strays(logbook, plan, number)):
            each.unlink(missing_ok=True)
        now = digest_of(place)
        if plan.state == "back" and now == step.after and step.before is None:
            place.unlink()
        elif plan.state == "back" and now == step.after and step.before is not None:
            kept = own / BEFORE / plan.moment / step.path
            if digest_of(kept) != step.before:
                changed.append(step.path)
                continue
            write_new(part, kept.read_bytes(), stat.S_IMODE(place.stat().st_mode))
            part.replace(place)
        elif now != step.before:
            changed.append(step.path)
        if step.made is True:
            with suppress(OSError):  # it holds something else
                place.parent.rmdir()
        if place.parent.is_dir():
            sync_folder(place.parent)
    if plan.state == "staging":
        shutil.rmtree(_copies(own, plan), ignore_errors=True)
    _end(own)
    return changed


def _end(own: Path) -> None:
    (own / JOURNAL).unlink(missing_ok=True)
    sync_folder(own)
