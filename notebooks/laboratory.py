"""JupyterLab on a logbook, with copies of the notebooks that a person may change at will."""

import os
import subprocess
import sys
from importlib import resources
from pathlib import Path

from ..tripdata.errors import StoreError
from . import runner


def copy_notebooks(logbook: Path) -> Path:
    """Put the notebooks into reports/lab; a copy that is there already is left as it is."""
    folder = logbook / "reports" / "lab"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in runner.available():
            target = folder / f"{name}.ipynb"
            if not target.exists():
                source = resources.files("tarebook.notebooks") / f"{name}.ipynb"
                target.write_bytes(source.read_bytes())
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
