"""The demo logbook in a folder of its own: written, loaded, every report made."""

import json
from pathlib import Path

from ..tripdata.errors import LogbookError
from ..tripdata.start import Started, ignore_derived

MARKER = ".tarebook/demo.json"


def write(folder: Path) -> None:
    """Write the demo logbook.

    A folder is rewritten only where the demo made it, and of that only the files the demo wrote.
    Raises LogbookError where the folder holds anything else or cannot be written.
    """
    from ..tripdata.demo import write_demo

    former = _former(folder)
    try:
        for path in former:
            (folder / path).unlink(missing_ok=True)
        folder.mkdir(parents=True, exist_ok=True)
        before = _files(folder)
        write_demo(folder)
        written = json.dumps(sorted(_files(folder) - before), indent=0)
        (folder / MARKER).parent.mkdir(exist_ok=True)
        (folder / MARKER).write_text(written, encoding="utf-8")
        ignore_derived(folder, Started())
    except OSError as error:
        raise LogbookError(f"{folder}: cannot be written ({error.strerror})") from error


def _files(folder: Path) -> set[str]:
    paths = (path.relative_to(folder) for path in folder.rglob("*") if path.is_file())
    return {path.as_posix() for path in paths if path.parts[0] not in (".tarebook", "reports")}


def _former(folder: Path) -> list[Path]:
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
        return []
    paths = (Path(name) for name in names if isinstance(name, str))
    return [path for path in paths if not path.is_absolute() and ".." not in path.parts]
