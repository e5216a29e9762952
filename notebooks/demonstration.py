"""The demo logbook in a folder of its own: written, loaded, every report made."""

import json
from pathlib import Path

from ..tripdata.errors import LogbookError

MARKER = ".tarebook/demo.json"


def write(folder: Path) -> None:
    """Write the demo logbook.

    A folder is rewritten only where the demo made it, and of that only the files the demo wrote.
    Raises LogbookError where the folder holds anything else or cannot be written.
    """
    from ..tripdata.demo import write_demo

    former = _former(folder)
    try:
        for name in former:
            (folder / name).unlink(missing_ok=True)
        folder.mkdir(parents=True, exist_ok=True)
        before = _files(folder)
        write_demo(folder)
        marker = folder / MARKER
        marker.parent.mkdir(exist_ok=True)
        written = sorted(_files(folder) - before)
        marker.write_text(json.dumps(written, indent=0), encoding="utf-8")
    except OSError as error:
        raise LogbookError(f"{folder}: cannot be written ({error.strerror})") from error


def _files(folder: Path) -> set[str]:
    skipped = (".tarebook", "reports")
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and path.relative_to(folder).parts[0] not in skipped
    }


def _former(folder: Path) -> list[str]:
    """The files that an earlier demo wrote here."""
    if folder.exists() and not folder.is_dir():
        raise LogbookError(f"{folder}: is a file; name another folder for the demo")
    marker = folder / MARKER
    if not marker.is_file():
        if folder.is_dir() and any(folder.iterdir()):
            raise LogbookError(
                f"{folder}: holds files that the demo did not make; name another folder"
            )
        return []
    try:
        names = json.loads(marker.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        names = []
    inside = [n for n in names if isinstance(n, str) and ".." not in Path(n).parts]
    return [n for n in inside if not Path(n).is_absolute()]
