"""`tarebook --help` against a bare `import typer`, and the debrief against an empty notebook."""

import sys
import tempfile
from pathlib import Path

import measure

_RUN = """
import sys
from pathlib import Path
from tarebook.notebooks import runner
folder = Path({folder!r}) if {folder!r} else runner.PACKAGED
runner.run([{name!r}], {{}}, Path({out!r}), logbook=Path({logbook!r}), folder=folder)
"""


def main(work: Path) -> None:
    """Print both ratios."""
    measure.compare(
        "tarebook --help against import typer",
        [sys.executable, "-m", "tarebook.notebooks.cli", "--help"],
        [sys.executable, "-c", "import typer"],
        2.0,
        runs=7,
    )
    from tarebook.notebooks import demonstration
    from tarebook.tripdata.store import load_logbook

    demo = work / "demo"
    demonstration.write(demo)
    load_logbook(demo)
    empty = str(measure.HERE)
    commands = [
        [
            sys.executable,
            "-c",
            _RUN.format(folder=folder, name=name, out=str(work / name), logbook=str(demo)),
        ]
        for name, folder in (("debrief", ""), ("empty", empty))
    ]
    measure.compare(
        "debrief against an empty notebook with the same imports, HTML included", *commands, 2.0
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        main(Path(made))
