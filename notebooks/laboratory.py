"""JupyterLab on a logbook, with copies of the notebooks that a person may change at will."""

import os
import subprocess
import sys
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING

from ..tripdata.errors import StoreError

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable


def packaged() -> tuple["Traversable", ...]:
    """Return the packaged notebooks: those of the reports, and those in lab/ that are none."""
    folder = resources.files("tarebook.notebooks")
    entries = (entry for place in (folder, folder / "lab") for entry in place.iterdir())
    return tuple(entry for entry in entries if entry.name.endswith(".ipynb"))


def copy_notebooks(logbook: Path) -> Path:
    """Put the notebooks into reports/lab; a copy that is there already is left as it is."""
    folder = logbook / "reports" / "lab"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for notebook in packaged():
            target = folder / notebook.name
            if not target.exists():
                target.write_bytes(notebook.read_bytes())
    except OSError as error:
        raise StoreError(f"{folder}: cannot be written ({error.strerror})") from error
    return folder


def open_lab(logbook: Path, arguments: tuple[str, ...] = ()) -> int:
    """Run JupyterLab until it is closed; returns its exit status."""
    folder = copy_notebooks(logbook)
    environment = os.environ | {
        "TAREBOOK_LOGBOOK": str(logbook.resolve()),
        "PYTHONSAFEPATH": "1",
    }
    command = [sys.executable, "-m", "jupyterlab", f"--notebook-dir={folder}", *arguments]
    return subprocess.run(command, env=environment, check=False).returncode
