"""Usage of a club's logbook against the bare counting query, and the frontier of 150 items.

`python tests/benchmarks/bench_season.py [FOLDER]`; the logbook (20,000 trips, 1 million carried
rows, with weather and distances; about 120 MB) is made and loaded in FOLDER where it is not there
yet.
"""

import csv
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import duckdb
import logbooks
import measure
from tarebook.analysis.cull.culling import frontier
from tarebook.analysis.stats.zero_one import Choice, Programme, Rules, StandIn
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.usage.items import usage
from tarebook.analysis.usage.leaving import circumstances
from tarebook.analysis.usage.verdicts import judge
from tarebook.tripdata.store import load_logbook, store_path

LIMIT, SECONDS = 10.0, 10.0
BARE = (
    "SELECT item, count(DISTINCT trip), count(DISTINCT trip) FILTER (used > 0) FROM carried "
    "GROUP BY item"
)
MEANT = ("", "", "", "", "", "", "wet", "cold", "wet; cold", "bugs")


def write(folder: Path) -> None:
    """The club's logbook, a tenth of its things meant for each of four kinds of weather."""
    logbooks.write_club(folder, readings_a_trip=12)
    rows = list(csv.DictReader((folder / "gear.csv").open()))
    with (folder / "gear.csv").open("w") as out:
        out.write("item,name,system,weight_g,kit,meant_for,cold_below_c\n")
        for n, row in enumerate(rows):
            meant = MEANT[n % len(MEANT)]
            below = n % 7 if "cold" in meant else ""
            out.write(",".join([*row.values(), meant, str(below)]) + "\n")
    rng = random.Random(3)
    with (folder / "weather.csv").open("w") as weather, (folder / "distances.csv").open("w") as far:
        weather.write("trip,day,rain_mm,low_c,conditions\n")
        far.write("trip,day,distance_km\n")
        for trip, start, _ in logbooks.trip_dates(20_000):
            for n in range(4):
                day = start + timedelta(n)
                sky = rng.choice(("none", "bugs", "", ""))
                rain = rng.choice((0, 0, 2, ""))
                weather.write(f"{trip},{day},{rain},{rng.randint(-3, 12)},{sky}\n")
                far.write(f"{trip},{day},{10 + n}\n")
    load_logbook(folder)


def seconds(work: Callable[[], object], runs: int = 3) -> float:
    """Median wall seconds of some work, after a first run that only warms up."""
    found = []
    for _ in range(runs + 1):
        started = time.perf_counter()
        work()
        found.append(time.perf_counter() - started)
    return statistics.median(found[1:])


def verdicts_of(store: duckdb.DuckDBPyConnection) -> None:
    """Every verdict, with all that bears on leaving things at home."""
    counted = usage(store)
    judge(counted, {}, date(2026, 11, 25), circumstances(store, counted))


def club(folder: Path) -> None:
    """Print the ratios, within one process and as whole commands."""
    if not store_path(folder).exists():
        write(folder)
    with open_store(store_path(folder)) as store:
        bare = seconds(lambda: store.execute(BARE).fetchall())
        ours = seconds(lambda: verdicts_of(store))
    print(
        f"usage and verdicts of 400 things, 20,000 trips, 1 million carried rows: {ours:.2f} s "
        f"against {bare:.2f} s bare counting, ratio {ours / bare:.1f} (limit {LIMIT:g})",
        flush=True,
    )
    measure.compare(
        "tarebook table usage of the same, as a command",
        [sys.executable, "-m", "tarebook.notebooks.cli", "table", "usage", str(folder)],
        [
            sys.executable,
            "-c",
            f"import duckdb; duckdb.connect({str(store_path(folder))!r}, "
            f"read_only=True).execute({BARE!r}).fetchall()",
        ],
        LIMIT,
    )


def frontier_of(things: int) -> None:
    """Print how long the whole frontier of so many things takes."""
    rng = random.Random(things)
    options = [
        Choice(
            f"i{n:03d}",
            rng.randint(5, 1000) * 1000,
            rng.betavariate(0.5, 1),
            rng.choice((1.0, 1.0, 2.0, 3.0)),
        )
        for n in range(things)
    ]
    names = [o.item for o in options]
    rules = Rules(
        tuple((names[n], names[n + 1]) for n in range(0, 40, 4)),
        (frozenset(names[100:103]), frozenset(names[110:113])),
        tuple(StandIn(names[n], names[n + 1], 0.4) for n in range(60, 90, 3)),
    )
    programme = Programme(options, rules)
    started, worked = time.perf_counter(), time.process_time()
    points = frontier(programme)
    took, worked = time.perf_counter() - started, time.process_time() - worked
    print(
        f"the frontier of {things} things, {len(points)} points, each an optimum: {took:.2f} s, "
        f"{worked:.2f} s of them at work (limit {SECONDS:g})",
        flush=True,
    )


def main(folder: Path) -> None:
    """Print it all."""
    frontier_of(150)
    club(folder / "season-club")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(Path(made))
