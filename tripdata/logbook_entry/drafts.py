"""Forms that were closed, kept to be taken up again: `.tarebook/drafts/<trip>.json`."""

import json
import os
import re
from contextlib import suppress
from pathlib import Path
from typing import Any

from ..errors import LogbookError, QuestionError
from ..leftovers import half_of, sweep_halves
from ..lock import FOLDER
from ..names import folded, shown, slug, slug_fault
from .entry import KeptDraft

_DRAFTS = "drafts"
_BROKEN = ".broken"
_THROWN = "thrown-away"
_SET_ASIDE = re.compile(r"(?<=\.json)(-\d+)?\.broken$", re.ASCII)
_MOST_BYTES = 50_000_000
_LONGEST_NAME = 200
"""Bytes in the name of a trip; file systems take 255, with what is put behind it."""


def _folder(folder: Path) -> Path:
    return folder / FOLDER / _DRAFTS


def _place(folder: Path, trip: str) -> Path:
    """Where a draft lies or would. Raises QuestionError for a name that no trip can have."""
    name = slug(trip)
    fault = slug_fault(name)
    if not fault and len(name.encode("utf-8", "surrogatepass")) > _LONGEST_NAME:
        fault = f"expected a name of at most {_LONGEST_NAME} bytes"
    if fault:
        raise QuestionError(f"{shown(trip)}: {fault}")
    wanted = folded(f"{name}.json")
    there = (path for path in _listed(folder) if folded(path.name) == wanted)
    return next(there, _folder(folder) / f"{name}.json")


def _listed(folder: Path) -> list[Path]:
    try:
        return sorted(_folder(folder).iterdir())
    except OSError:
        return []


def keep_draft(folder: Path, trip: str, data: dict[str, Any]) -> None:
    """Keep what stands in a form, whole, in the place of what was kept of the same trip.

    Raises QuestionError where it is too large or no JSON, LogbookError where it cannot be written.
    """
    place = _place(folder, trip)
    try:
        content = json.dumps(data, ensure_ascii=True).encode()
    except (TypeError, ValueError, RecursionError) as error:
        raise QuestionError(f"{shown(trip)}: the draft cannot be kept ({error})") from error
    if len(content) > _MOST_BYTES:
        most = f"{_MOST_BYTES // 1_000_000} MB"
        raise QuestionError(f"{shown(trip)}: the draft cannot be kept, it is larger than {most}")
    if not folder.is_dir():
        raise LogbookError(f"{folder}: there is no such folder; name the folder of your logbook")
    part = half_of(place)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        sweep_halves(place.parent)
        part.unlink(missing_ok=True)  # of one that is gone and had our number
        part.touch(0o600, exist_ok=False)
        with part.open("wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        part.replace(place)
    except OSError as error:
        raise LogbookError(f"{place}: cannot be written ({error.strerror})") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def drafts(folder: Path) -> tuple[KeptDraft, ...]:
    """The drafts that are kept, the latest first; ``fault`` of one that is broken says where it is.

    One that holds no draft is set aside under another name; one that is out of reach stays.
    """
    found = []
    for path in _listed(folder):
        fault = ""
        if path.suffix == ".json" and not path.name.startswith("."):
            try:
                if _read(path) is None:
                    path = _set_aside(path)
            except OSError as error:
                fault = _out_of_reach(path, error)
        elif path.suffix != _BROKEN:
            continue
        with suppress(OSError):
            found.append(_kept(path, fault))
    return tuple(sorted(found, key=lambda each: (-each.kept_at, each.trip)))


def _out_of_reach(path: Path, error: OSError) -> str:
    return f"{path}: cannot be read ({error.strerror or error})"


def _trip_of(path: Path) -> str:
    """The trip whose draft lies at a place, also where it was set aside."""
    name = path.name
    if path.suffix == _BROKEN:
        name = _SET_ASIDE.sub("", name)
    return name.removesuffix(".json")


def _kept(path: Path, fault: str) -> KeptDraft:
    trip = _trip_of(path)
    if path.suffix == _BROKEN:
        fault = f"{path}: cannot be read and was set aside"
    return KeptDraft(trip, path.stat().st_mtime, fault)


def draft(folder: Path, trip: str) -> dict[str, Any] | None:
    """What was kept of a trip; None where nothing is, or where it is broken: it is then set aside.

    Raises QuestionError for a name that no trip can have, LogbookError where it is out of reach.
    """
    place = _place(folder, trip)
    try:
        data = _read(place)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise LogbookError(_out_of_reach(place, error)) from error
    if data is None:
        _set_aside(place)
    return data


def drop_draft(folder: Path, trip: str) -> None:
    """Remove what was kept of a trip, if anything, with what of it was set aside as broken.

    Raises QuestionError, LogbookError.
    """
    place = _place(folder, trip)
    own = folded(_trip_of(place))
    aside = [p for p in _listed(folder) if p.suffix == _BROKEN and folded(_trip_of(p)) == own]
    try:
        for each in (place, *aside):
            place = each
            each.unlink(missing_ok=True)
    except OSError as error:
        raise LogbookError(f"{place}: cannot be removed ({error.strerror})") from error


def set_draft_aside(folder: Path, trip: str) -> None:
    """Take a draft out of those that are kept; it lies in `thrown-away` beside them, to be found.

    One that was thrown away before of the same trip goes. Raises QuestionError, LogbookError.
    """
    place = _place(folder, trip)
    try:
        aside = place.parent / _THROWN / place.name
        aside.parent.mkdir(parents=True, exist_ok=True)
        with suppress(FileNotFoundError):
            place.replace(aside)
    except OSError as error:
        raise LogbookError(f"{place}: cannot be set aside ({error.strerror})") from error
    drop_draft(folder, trip)


def _read(path: Path) -> dict[str, Any] | None:
    """What a draft holds, None where that is no draft. Raises OSError."""
    try:
        if path.stat().st_size > _MOST_BYTES:
            return None
        data = json.loads(path.read_bytes())
    except (ValueError, RecursionError):
        return None
    return data if isinstance(data, dict) else None


def _set_aside(path: Path) -> Path:
    aside, number = path.with_name(path.name + _BROKEN), 1
    while aside.exists():
        number += 1
        aside = path.with_name(f"{path.name}-{number}{_BROKEN}")
    with suppress(OSError):
        return path.replace(aside)
    return path
