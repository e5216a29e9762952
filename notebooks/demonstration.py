"""The demo logbook in a folder of its own: what a person changed or added there is not lost."""

import os
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from ..tripdata.errors import LogbookError
from ..tripdata.former_files import BEFORE
from ..tripdata.journal import recover
from ..tripdata.leftovers import put_new, put_over, scratch, sweep_halves
from ..tripdata.lock import FOLDER
from ..tripdata.start import Started, ignore_derived

_DERIVED = (FOLDER, "reports")
_NAMED = 3


def write(folder: Path, force: bool = False) -> tuple[str, ...]:
    """Write the demo logbook; returns the changed files that were put back as the demo has them.

    Files are told by what they hold, never by a list that lies there. Those that a person added or
    changed are left alone and named; with ``force`` what was added stays, and what was changed is
    kept in `.tarebook/before`. Each file is written whole or not at all, none through a link.

    Raises LogbookError where the folder holds nothing that the demo wrote, or what is added or
    changed without ``force``, or a link where a file or folder of the demo is to be; where it
    cannot be written.
    """
    if folder.exists() and not folder.is_dir():
        raise LogbookError(f"{folder}: is a file; name another folder for the demo")
    try:
        wanted = _demo_files()
        for name in (".", *_DERIVED, f"{FOLDER}/{BEFORE}", *wanted):
            _refuse_links(folder, name)
        if folder.is_dir():
            recover(folder)
        there = dict(_standing(folder))
        changed = sorted(n for n in wanted if n in there and there[n] != wanted[n])
        added = sorted(there.keys() - wanted.keys())
        if there.keys() - {*changed, *added} or not there:
            _refuse_others(folder, changed, added, force)
        else:
            raise LogbookError(
                f"{folder}: holds files that the demo did not make; name another folder"
            )
        for name in wanted:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            sweep_halves((folder / name).parent)
            put_new(folder / name, wanted[name], lasting=False)
        _keep(folder, changed)
        for name in changed:
            put_over(folder / name, wanted[name])
        ignore_derived(folder, Started())
    except OSError as error:
        raise LogbookError(f"{folder}: cannot be written ({error.strerror})") from error
    return tuple(changed)


def _keep(folder: Path, names: list[str]) -> None:
    """Keep copies of files among the former ones of the logbook."""
    moment = folder / FOLDER / BEFORE / datetime.now().strftime("%Y-%m-%d-%H%M%S-%f")
    for name in names:
        (moment / name).parent.mkdir(parents=True, exist_ok=True)
        put_new(moment / name, (folder / name).read_bytes())


def _demo_files() -> dict[str, bytes]:
    """The demo's files by their names."""
    from ..tripdata.demo import write_demo

    with scratch() as work:
        write_demo(work)
        paths = sorted(path for path in work.rglob("*") if path.is_file())
        return {path.relative_to(work).as_posix(): path.read_bytes() for path in paths}


def _standing(folder: Path) -> Iterator[tuple[str, bytes | None]]:
    """What stands in a folder, links and all, but what is derived or hidden; None: no file."""
    for at, folders, files in os.walk(folder):
        inside = Path(at).relative_to(folder)
        folders[:] = [n for n in folders if not n.startswith(".") and n not in _own(inside)]
        linked = [name for name in folders if (Path(at) / name).is_symlink()]
        for name in (*files, *linked):
            path = Path(at) / name
            if not name.startswith("."):
                plain = path.is_file() and not path.is_symlink()
                yield (inside / name).as_posix(), path.read_bytes() if plain else None


def _own(inside: Path) -> tuple[str, ...]:
    return _DERIVED if inside == Path() else ()


def _refuse_links(folder: Path, name: str) -> None:
    place = folder
    for part in (".", *Path(name).parts):
        place = place / part
        if place.is_symlink():
            raise LogbookError(
                f"{place}: is a link, through which the demo does not write; take it away or name "
                "another folder"
            )


def _refuse_others(folder: Path, changed: list[str], added: list[str], force: bool) -> None:
    if force or not (changed or added):
        return
    said = [_listed(what, names) for what, names in (("changed", changed), ("added", added))]
    raise LogbookError(
        f"{folder}: {' and '.join(filter(None, said))}; --force makes the demo's own files anew, "
        f"keeps what was changed in {FOLDER}/{BEFORE}, and leaves what was added"
    )


def _listed(what: str, names: list[str]) -> str:
    if not names:
        return ""
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return f"{', '.join(names[:_NAMED])}{more} {'was' if len(names) == 1 else 'were'} {what}"
