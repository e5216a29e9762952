"""The analysis tables against the same worked in pandas from the same store, fetching included.

`python tests/benchmarks/bench_marts.py [STORE]`; the store is made where it is not there yet
(5 million readings, 1 million carried rows, 20,000 trips).
"""

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import duckdb
import pandas as pd
import pandas_marts
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.contract import SYSTEMS
from tarebook.tripdata.schema import store_ddl

FILL = Path(__file__).parent / "large_store.sql"
LIMITS = {"nights": 10.0, "trips": 2.0, "trip_systems": 2.0, "items": 2.0}


def build(path: Path) -> None:
    """A large store, always the same."""
    with duckdb.connect(path, config={"threads": 1}) as connection:
        connection.execute(store_ddl())
        connection.execute("CREATE TEMP TABLE systems AS SELECT unnest($1) AS system", [SYSTEMS])
        connection.execute(FILL.read_text())


def seconds(work: Callable[[], pd.DataFrame], runs: int) -> tuple[float, int]:
    """The best of so many runs, and the number of rows."""
    best, rows = float("inf"), 0
    for _ in range(runs):
        started = time.perf_counter()
        rows = len(work())
        best = min(best, time.perf_counter() - started)
    return best, rows


def main(path: Path) -> None:
    """Print a line a table."""
    if not path.exists():
        build(path)
    with open_store(path) as store:
        for name, limit in LIMITS.items():
            ours, rows = seconds(lambda name=name: TABLES[name].frame(store), 5)
            bare, other = seconds(lambda name=name: getattr(pandas_marts, name)(store), 2)
            assert rows == other
            print(
                f"{name}: {rows:,} rows in {ours:.2f} s, {bare:.2f} s in pandas, "
                f"{bare / ours:.1f} times (at least {limit:g})",
                flush=True,
            )


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made) / "store.duckdb")
