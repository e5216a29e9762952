"""Where an export goes: a new folder, an empty one, or the place of a former export, as a whole.

It is built beside its place and moved there when it is finished. Nothing that a person put into a
folder is ever deleted: such a folder is left alone, or moved aside where they say so.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from ...tripdata.discover import NORMALS_FOLDER
from ...tripdata.errors import QuestionError
from ...tripdata.leftovers import half_of, sweep_halves
from ...tripdata.lock import FOLDER
from ...tripdata.table_schema import PACKAGE_FILE, package_as_drawn

_OWN_FOLDERS = ("trips", NORMALS_FOLDER, FOLDER, "reports")
_NAMED = 3


def check_place(folder: Path, logbook: Path, force: bool = False) -> Path:
    """The folder to write to, without links. Raises QuestionError where an export may not go there.

    That is a file, a folder that the logbook lies in or is read from, the one that one is in, and
    a folder that holds anything but a former export, unless ``force``.
    """
    try:
        place, book = folder.resolve(), logbook.resolve()
        there = sorted(_foreign(place)) if place.is_dir() else []
    except (OSError, RuntimeError) as error:
        raise QuestionError(f"{folder}: cannot be written ({error})") from error
    if place.exists() and not place.is_dir():
        raise QuestionError(f"{folder}: is a file; name a folder for the export")
    if book.is_relative_to(place):
        raise QuestionError(f"{folder}: is or holds the logbook; name another folder")
    if any(place.is_relative_to(book / name) for name in _OWN_FOLDERS):
        raise QuestionError(f"{folder}: is a folder of the logbook's own; name another folder")
    if any(each.is_relative_to(place) for each in (Path.cwd(), *_home())):
        raise QuestionError(f"{folder}: is or holds the folder you are in; name another folder")
    if there and not force:
        more = f" and {len(there) - _NAMED} more" if len(there) > _NAMED else ""
        raise QuestionError(
            f"{folder}: holds other things than an export: {', '.join(there[:_NAMED])}{more}; "
            "name another folder, or move it aside with --force"
        )
    return place


def _home() -> Iterator[Path]:
    with suppress(RuntimeError, OSError):
        yield Path.home().resolve()


def _foreign(folder: Path) -> Iterator[str]:
    """Files in a folder that are not those of an export as it was written."""
    sizes = _sizes(folder)
    for at, folders, files in os.walk(folder):
        links = [name for name in folders if (Path(at) / name).is_symlink()]
        for name in (*files, *links):
            path = Path(at) / name
            inside = path.relative_to(folder).as_posix()
            plain = path.is_file() and not path.is_symlink()
            if not plain or sizes.get(inside) != path.stat().st_size:
                yield inside


def _sizes(folder: Path) -> dict[str, int]:
    """The bytes of each file of an export by its path; empty where the folder is none."""
    described = folder / PACKAGE_FILE
    package = package_as_drawn(described)
    if package is None or "inputs" not in package["drawn"]:
        return {}
    files = [file for resource in package["resources"] for file in resource["files"]]
    return {PACKAGE_FILE: described.stat().st_size, **{f["path"]: f["bytes"] for f in files}}


@contextmanager
def put_whole(place: Path) -> Iterator[Path]:
    """A folder to write into, which takes the place when the block ends well.

    What stands there is a former export, which is deleted then, or is moved aside if it is not:
    ``PLACE.before`` or the next such name that is free. Killed anywhere, the name holds the former
    folder, the new one, or nothing; what lies beside is removed by the next export. Raises OSError
    where it cannot be written.
    """
    place.parent.mkdir(parents=True, exist_ok=True)
    sweep_halves(place.parent, place.name)
    part = half_of(place)
    shutil.rmtree(part, ignore_errors=True)  # of one that is gone and had our number
    part.mkdir()
    try:
        yield part
        _swap(part, place)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _swap(new: Path, place: Path) -> None:
    if not place.exists() or not any(place.iterdir()):
        new.replace(place)
        return
    own = not any(_foreign(place))
    former = half_of(place.with_name(f"{place.name}.former")) if own else aside_of(place)
    place.replace(former)
    try:
        new.replace(place)
    except BaseException:
        former.replace(place)
        raise
    if own:
        shutil.rmtree(former, ignore_errors=True)


def aside_of(place: Path) -> Path:
    """The first free name for what is moved out of a place."""
    aside, number = place.with_name(f"{place.name}.before"), 1
    while os.path.lexists(aside):
        number += 1
        aside = place.with_name(f"{place.name}.before-{number}")
    return aside
