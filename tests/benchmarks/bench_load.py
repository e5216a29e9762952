"""`tarebook load` against a script that reads the same files typed and checks nothing.

`python tests/benchmarks/bench_load.py [FOLDER]`; the logbooks are made in FOLDER where they are not
there yet (about 240 MB).
"""

import sys
import tempfile
from pathlib import Path

import logbooks
import measure


def main(folder: Path) -> None:
    """Print the ratios for a club's logbook (large files) and a lifetime's (4,000 small ones)."""
    club, life = folder / "club", folder / "life"
    if not (club / "temperatures.csv").exists():
        logbooks.write_club(club)
    if not (life / "trip.csv").exists():
        logbooks.write_lifetime(life)
    bare = str(measure.HERE / "bare_load.py")
    for title, logbook, limit in (
        ("load of a club logbook, 5 million readings and 1 million carried rows", club, 2.5),
        ("load of a lifetime logbook, 600 trips in 4,000 files", life, 2.0),
    ):
        measure.compare(
            title,
            [sys.executable, "-m", "tarebook.notebooks.cli", "load", str(logbook)],
            [sys.executable, bare, str(logbook), str(folder / "bare.duckdb")],
            limit,
        )


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
