"""A load with NOAA's hourly file of 2.7 MB in `normals/` against DuckDB's own read of that file.

`python tests/benchmarks/bench_normals.py FILE`, where FILE is the hourly by-station file 1981-2010
of any station. Prints what the file adds to reading and storing a small logbook, what DuckDB takes
to read it, and what the packaged stations alone cost.
"""

import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
from tarebook.tripdata.store import load_logbook

LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
ROUNDS = 7


def seconds(do: Callable[[], object]) -> float:
    """How long one call takes."""
    started = time.perf_counter()
    do()
    return time.perf_counter() - started


def main(file: Path, work: Path) -> None:
    """Print the medians and the ratio."""
    bare, more = work / "bare", work / "more"
    for folder in (bare, more):
        shutil.copytree(LAKES, folder)
    (more / "normals").mkdir()
    shutil.copyfile(file, more / "normals" / "hourly.csv")

    def read() -> None:
        with duckdb.connect() as connection:
            query = "CREATE TABLE hours AS SELECT * FROM read_csv($file)"
            connection.execute(query, {"file": str(file)})

    # In turn, so that whatever else the machine does falls on all alike; the first round warms up.
    times = [
        (seconds(lambda: load_logbook(bare)), seconds(lambda: load_logbook(more)), seconds(read))
        for _ in range(ROUNDS + 1)
    ][1:]
    without, with_, own = (statistics.median(column) for column in zip(*times, strict=True))
    added = statistics.median(b - a for a, b, _ in times)
    print(f"load without normals {without:.3f} s, with the hourly file {with_:.3f} s")
    print(
        f"it adds {added:.3f} s, DuckDB's own read takes {own:.3f} s, ratio {added / own:.2f} "
        "(limit 2)"
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        main(Path(sys.argv[1]), Path(made))
