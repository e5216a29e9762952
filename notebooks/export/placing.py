"""Where an export goes: a new folder, an empty one, or the place of a former export, as a whole.

It is built beside its place and moved there when it is finished. Nothing that a person put into a
folder is ever deleted: such a folder is left alone, or moved aside where they say so.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from ...tripdata.discover import NORMALS_FOLDER
from ...tripdata.errors import QuestionError
from ...tripdata.leftovers import half_of, halves_of_the_gone
from ...tripdata.lock import FOLDER
from ...tripdata.stamps import package_hash
from ...tripdata.table_schema import PACKAGE_FILE, package_as_drawn

_OWN_FOLDERS = ("trips", NORMALS_FOLDER, FOLDER, "reports")
_NAMED = 3
_BESIDE = "tarebook-export"
_NEW, _FORMER, _MARK = "new", "former", ".place-of-export"
"""What the folder beside holds: the new export, the former one, and the name of their place."""


def check_place(folder: Path, logbook: Path, force: bool = False) -> Path:
    """The folder to write to, without links. Raises QuestionError where an export may not go there.

    That is a file, a folder that the logbook lies in or is read from, also by a link, the one that
    one is in, and a folder that holds anything but a former export, unless ``force``.
    """
    place = folder.absolute()
    try:
        place, book = folder.resolve(), logbook.resolve()
        there = sorted(_foreign(place)) if place.is_dir() else []
        blocked = next((p for p in (place, *place.parents) if p.exists() and not p.is_dir()), None)
    except RuntimeError as error:
        raise QuestionError(f"{folder}: cannot be written (its links lead in a circle)") from error
    except OSError as error:
        raise QuestionError(f"{folder}: cannot be written ({_why(error, place)})") from error
    if blocked == place:
        raise QuestionError(f"{folder}: is a file; name a folder for the export")
    if blocked:
        raise QuestionError(f"{folder}: cannot be written ({blocked.name} is a file, no folder)")
    if _lies_in(book, place) or any(_lies_in(own, place) for own in _read_from(book)):
        raise QuestionError(f"{folder}: is or holds the logbook; name another folder")
    if any(_lies_in(place, own) for own in _read_from(book)):
        raise QuestionError(f"{folder}: is a folder of the logbook's own; name another folder")
    if any(_lies_in(each, place) for each in (Path.cwd(), *_home())):
        raise QuestionError(f"{folder}: is or holds the folder you are in; name another folder")
    if there and not force:
        more = f" and {len(there) - _NAMED} more" if len(there) > _NAMED else ""
        raise QuestionError(
            f"{folder}: holds other things than an export: {', '.join(there[:_NAMED])}{more}; "
            "name another folder, or move it aside with --force"
        )
    return place


def _why(error: OSError, place: Path) -> str:
    """What is the matter, and with what, if that is something within the folder."""
    path = Path(os.fsdecode(error.filename or ""))
    within = path != place and path.is_relative_to(place)
    why = error.strerror or str(error)
    return f"{path.relative_to(place)}: {why}" if within else why


def _home() -> Iterator[Path]:
    with suppress(RuntimeError, OSError):
        yield Path.home().resolve()


def _read_from(book: Path) -> Iterator[Path]:
    """What a logbook is read from or kept in, wherever its links lead."""
    files = ("*.[cC][sS][vV]", "*.toml", "trips/*", "trips/*/*", f"{NORMALS_FOLDER}/*")
    links = (path for names in files for path in book.glob(names) if path.is_symlink())
    for path in (*(book / name for name in _OWN_FOLDERS), *links):
        with suppress(OSError, RuntimeError):  # a link that leads to itself is read from nowhere
            yield path.resolve()


def _lies_in(inner: Path, outer: Path) -> bool:
    """Whether one is the other or below it, also where a name is written in another way."""
    if inner.is_relative_to(outer):
        return True
    with suppress(OSError):
        return any(each.exists() and each.samefile(outer) for each in (inner, *inner.parents))
    return False


def _foreign(folder: Path) -> Iterator[str]:
    """Files and empty folders in a folder that are not those of an export as it was written.

    Raises OSError where something in it cannot be looked at.
    """
    digests = _digests(folder)
    for at, folders, files in os.walk(folder, onerror=_raise):
        links = [name for name in folders if (Path(at) / name).is_symlink()]
        for name in (*files, *links):
            path = Path(at) / name
            inside = path.relative_to(folder).as_posix()
            plain = path.is_file() and not path.is_symlink()
            if not plain or inside not in digests or digests[inside] != package_hash(path):
                yield inside
        if not folders and not files and Path(at) != folder:
            yield Path(at).relative_to(folder).as_posix()


def _raise(error: OSError) -> NoReturn:
    raise error


def _digests(folder: Path) -> dict[str, str]:
    """The digest of each file of an export by its path; empty where the folder is none."""
    described = folder / PACKAGE_FILE
    package = package_as_drawn(described)
    if package is None or "inputs" not in package["drawn"]:
        return {}
    files = [file for resource in package["resources"] for file in resource["files"]]
    return {PACKAGE_FILE: package_hash(described)} | {f["path"]: f.get("hash", "") for f in files}


@dataclass(slots=True)
class Work:
    """The folder to write into; ``aside`` is where what stood in its place was moved, if it was."""

    folder: Path
    aside: Path | None = None


@contextmanager
def put_whole(place: Path) -> Iterator[Work]:
    """A folder to write into, which takes the place when the block ends well.

    What stands there is a former export, which is deleted then, or is moved aside if it is not:
    ``PLACE.before`` or the next such name that is free. Killed anywhere, the name holds the former
    folder, the new one, or nothing; then what lies beside is removed by the next export into any
    folder there, which puts a former one back first that lost its place. Raises OSError where it
    cannot be written.
    """
    place.parent.mkdir(parents=True, exist_ok=True)
    beside = half_of(place.with_name(_BESIDE))
    for left in (*halves_of_the_gone(place.parent, _BESIDE), beside):
        _settle(left)
    beside.mkdir()
    try:
        (beside / _MARK).write_bytes(os.fsencode(place.name))
        work = Work(beside / _NEW)
        work.folder.mkdir()
        yield work
        work.aside = _swap(work.folder, place, beside / _FORMER)
    finally:
        _settle(beside)


def _settle(beside: Path) -> None:
    """Clear away what an export worked in; a former one goes back where its place is empty.

    Only what it is known by is removed, and its mark last: a folder without it is anybody's.
    """
    mark, new, former = (beside / name for name in (_MARK, _NEW, _FORMER))
    with suppress(OSError, ValueError):
        if beside.is_symlink() or not beside.is_dir():
            return
        if mark.is_file() and not mark.is_symlink():
            place = beside.with_name(os.fsdecode(mark.read_bytes()) or beside.name)
            if former.is_dir() and _free(place):
                former.replace(place)
            for each in (new, former):
                shutil.rmtree(each, ignore_errors=True)
            if not new.exists() and not former.exists():
                mark.unlink()
        beside.rmdir()  # where it is empty


def _free(place: Path) -> bool:
    """Whether nothing has a name but an empty folder, which is taken away."""
    with suppress(OSError):
        place.rmdir()
    return not os.path.lexists(place)


def _swap(new: Path, place: Path, former: Path) -> Path | None:
    """Let a folder take its place; where what was there lies now, if it is to be kept."""
    if _free(place):
        new.replace(place)
        return None
    aside = aside_of(place) if any(_foreign(place)) else None
    place.replace(aside or former)
    try:
        new.replace(place)
    except BaseException:
        (aside or former).replace(place)
        raise
    return aside


def aside_of(place: Path) -> Path:
    """The first free name for what is moved out of a place."""
    aside, number = place.with_name(f"{place.name}.before"), 1
    while os.path.lexists(aside):
        number += 1
        aside = place.with_name(f"{place.name}.before-{number}")
    return aside
