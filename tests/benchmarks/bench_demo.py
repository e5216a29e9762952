"""The whole demo against as many empty notebooks with the same imports through the same runner.

An empty notebook of a report imports every module that the report had loaded at its end, and does
nothing with them.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import measure
from tarebook.notebooks import runner

LIMIT = 3.0
_LOADED = """
import json, sys
before = set(sys.modules)
for source in json.loads(sys.stdin.read()):
    exec(source, globals())
names = [n for n in sys.modules if n not in before and not n.startswith("_")]
print("\\n" + json.dumps(names))
"""
_EMPTY = """
import importlib
for name in {names!r}:
    try:
        importlib.import_module(name)
    except ImportError:
        continue
"""
_RUN = """
from pathlib import Path
from tarebook.notebooks import runner
folder = Path({folder!r})
runner.run(runner.available(folder), {{}}, Path({out!r}), logbook=Path({logbook!r}), folder=folder)
"""


def cells(name: str) -> list[str]:
    """The code of a packaged notebook, each cell's last line as a shown value."""
    path = Path(runner.__file__).parent / f"{name}.ipynb"
    found = json.loads(path.read_text("utf-8"))["cells"]
    code = ["".join(c["source"]) for c in found if c["cell_type"] == "code"]
    return [f"{s}._repr_mimebundle_()" if s.startswith("page.") else s for s in code]


def write_empty(name: str, logbook: Path, folder: Path) -> None:
    """The empty notebook of a report."""
    done = subprocess.run(
        [sys.executable, "-c", _LOADED],
        input=json.dumps(cells(name)),
        text=True,
        check=True,
        capture_output=True,
        cwd=logbook,
        env={**_environment(), "TAREBOOK_LOGBOOK": str(logbook)},
    )
    names = json.loads(done.stdout.splitlines()[-1])
    sources = ['trip: str = ""', _EMPTY.format(names=names)]
    notebook = {
        "cells": [
            {
                "cell_type": "code",
                "execution_count": None,
                "id": f"cell-{n}",
                "outputs": [],
                "metadata": {} if n else {"tags": ["parameters"]},
                "source": source,
            }
            for n, source in enumerate(sources)
        ],
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    (folder / f"{name}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")


def _environment() -> dict[str, str]:
    import os

    return dict(os.environ)


def main(work: Path, runs: int) -> None:
    """Print the ratio."""
    demo, empties = work / "demo", work / "empty"
    command = [sys.executable, "-m", "tarebook.notebooks.cli", "demo", str(demo)]
    subprocess.run(command, check=True, capture_output=True)
    empties.mkdir()
    for name in runner.available():
        write_empty(name, demo, empties)
    bare = _RUN.format(folder=str(empties), out=str(work / "out"), logbook=str(demo))
    measure.compare(
        f"the demo, {len(runner.available())} reports, against as many empty notebooks",
        command,
        [sys.executable, "-c", bare],
        LIMIT,
        runs=runs,
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        main(Path(made), int(sys.argv[1]) if len(sys.argv) > 1 else 3)
