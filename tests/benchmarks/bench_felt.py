"""What a person waits for, each with its goal: a table, one report, all of them, the demo.

`python tests/benchmarks/bench_felt.py [RUNS]`, of which the least counts: 3 by default. Seconds are
of processor, those of kernels and other processes that a command starts included, since by the
clock they depend on what else the machine does. Reports are held against the same sections, put
together without kernel and notebook by one process that has everything imported: "warm". Beside it
stands what that process takes as a whole.
"""

import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import measure
from bench_demo import cells
from tarebook.notebooks import demonstration, runner
from tarebook.notebooks.jobs import jobs
from tarebook.tripdata.store import load_logbook, store_path
from tarebook.tripdata.today import made_on

TABLE_S, DEMO_S = 0.5, 40.0
ONE_REPORT, ALL_REPORTS = 1.8, 1.3
COMMAND = [sys.executable, "-m", "tarebook.notebooks.cli"]
_SECTIONS = """
import json, os, sys, time
asked = json.loads(sys.stdin.read())
os.environ["TAREBOOK_LOGBOOK"] = asked["logbook"]
def make(pages):
    for sources, parameters in pages:
        room = {}
        for number, source in enumerate(sources):
            exec(source, room)
            if number == 0:
                room.update(parameters)
make(asked["before"])
began = time.process_time()
make(asked["pages"])
warm = time.process_time() - began
print("\\n" + json.dumps([warm, time.process_time()]))
"""
Pages = list[tuple[list[str], dict[str, Any]]]


def every_page(logbook: Path) -> Pages:
    """The code of each page that `report all` makes, and its parameters."""
    from tarebook.analysis.home.logbook import trips_back
    from tarebook.analysis.store.opening import open_store
    from tarebook.analysis.store.trip_choice import choose_ahead

    with open_store(store_path(logbook)) as store:
        trips = [each.trip for each in trips_back(store)]
        plans = [each.trip for each in choose_ahead(store, "", made_on())]
    wanted = jobs(runner.available(), {}, runner.PACKAGED, trips, True, plans)
    return [(cells(job.name), dict(job.parameters)) for job in wanted]


def sections(logbook: Path, pages: Pages, before: Pages) -> tuple[float, float]:
    """Seconds of processor for the sections of pages after those of others, and for all of it."""
    asked = {"logbook": str(logbook), "pages": pages, "before": before}
    done = subprocess.run(
        [sys.executable, "-c", _SECTIONS],
        input=json.dumps(asked),
        text=True,
        check=True,
        capture_output=True,
        cwd=logbook,
    )
    warm, whole = json.loads(done.stdout.splitlines()[-1])
    return warm, whole


def told(what: str, took: float, goal: float) -> None:
    """Print a line of seconds."""
    print(f"{what}: {took:.2f} s of processor (goal {goal:g})", flush=True)


def held(what: str, took: float, warm: float, whole: float, goal: float) -> None:
    """Print a line of a ratio."""
    print(
        f"{what}: {took:.2f} s of processor, {took / warm:.2f} times the same sections in a warm "
        f"process, {warm:.2f} s (goal {goal:g}); {took / whole:.2f} times that process as a whole, "
        f"{whole:.2f} s",
        flush=True,
    )


def main(work: Path, runs: int) -> None:
    """Print a line a goal."""
    demo = work / "demo"
    demonstration.write(demo)
    load_logbook(demo)
    pages = every_page(demo)
    one: Pages = [(cells("debrief"), {})]

    def least(*words: str, anew: bool = False) -> float:
        found = []
        for _ in range(runs):
            if anew:
                shutil.rmtree(demo / "reports", ignore_errors=True)
            found.append(measure.spent([*COMMAND, *words]).processor)
        return min(found)

    told("tarebook table trips", least("table", "trips", str(demo)), TABLE_S)
    warm, whole = map(min, zip(*(sections(demo, one, one) for _ in range(runs)), strict=True))
    took = least("report", "debrief", str(demo), anew=True)
    held("tarebook report debrief", took, warm, whole - warm, ONE_REPORT)
    warm, whole = map(min, zip(*(sections(demo, pages, one) for _ in range(runs)), strict=True))
    took = least("report", "all", str(demo), anew=True)
    held(f"tarebook report all, {len(pages)} pages", took, warm, whole, ALL_REPORTS)
    took = least("report", "all", str(demo))
    print(f"tarebook report all, nothing changed: {took:.2f} s of processor", flush=True)
    found = []
    for _ in range(runs):
        shutil.rmtree(work / "new", ignore_errors=True)
        found.append(measure.spent([*COMMAND, "demo", str(work / "new")]).processor)
    told("tarebook demo", min(found), DEMO_S)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        main(Path(made), int(sys.argv[1]) if len(sys.argv) > 1 else 3)
