"""JupyterLab on a logbook, with copies of the notebooks that a person may change at will."""

import os
import subprocess
import sys
from importlib.resources.abc import Traversable
from pathlib import Path

from ..tripdata.errors import StoreError
from ..tripdata.leftovers import put_new, sweep_halves
from .jobs import PACKAGED
from .kernel import NOWHERE


def packaged() -> tuple[Traversable, ...]:
    """Return the packaged notebooks: those of the reports, and those in lab/ that are none."""
    entries = (entry for place in (PACKAGED, PACKAGED / "lab") for entry in place.iterdir())
    return tuple(entry for entry in entries if entry.name.endswith(".ipynb"))


def copy_notebooks(logbook: Path) -> Path:
    """Put the notebooks into reports/lab; a copy that is there already is left as it is."""
    folder = logbook / "reports" / "lab"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        sweep_halves(folder)
        for notebook in packaged():
            put_new(folder / notebook.name, notebook.read_bytes())
    except OSError as error:
        raise StoreError(f"{folder}: cannot be written ({error.strerror})") from error
    return folder


def open_lab(logbook: Path) -> int:
    """Run JupyterLab until it is closed; returns its exit status.

    Raises StoreError where it has no place for what it keeps.
    """
    if os.environ.get("HOME") == NOWHERE:
        raise StoreError(
            "JupyterLab keeps its settings in a home folder, and there is none; set HOME to a "
            "folder of yours"
        )
    folder = copy_notebooks(logbook)
    environment = os.environ | {"TAREBOOK_LOGBOOK": str(logbook.resolve()), "PYTHONSAFEPATH": "1"}
    command = [sys.executable, "-m", "jupyterlab", f"--notebook-dir={folder}"]
    return subprocess.run(command, env=environment, check=False).returncode
