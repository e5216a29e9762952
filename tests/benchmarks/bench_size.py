"""Seconds and peak memory of each command as a logbook grows, and how many times as much it is.

`python tests/benchmarks/bench_size.py [WORD ...]`: lines whose title holds all of the words. Every
command is a process of its own over an invented logbook: 20, 200 or 2,000 trips of three nights
with 100 things of those that are owned, every night scored, or so many readings, or a file of ten
million lines that hold nothing. Printed are seconds of processor, those by the clock in brackets,
the peak of memory, and how many times as much as the size before. A command that answers nothing
prints what it says. "Placed": every trip is where the normals that come with the program are from,
and the one to come has a list. `TAREBOOK_SIZES` names a folder in which the logbooks are kept.
"""

import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

import logbooks
from tarebook.analysis.tables import TABLES
from tarebook.notebooks.reports import REPORTS
from worlds import PLACE

NIGHTS = 3
THINGS_A_TRIP = 100
PLAN, LAID_OUT = "to-come", "laid-out"
OF_A_PLAN = ("trip_needs", "forgotten", "cold_by_set", "outlook")


@dataclass(frozen=True, slots=True)
class Book:
    """What a logbook holds: trips, things owned, things a trip takes and readings in all.

    There is also one trip to come and a candidate for what one sleeps on. ``placed``: trips are
    where there are normals, and the one to come has a list.
    """

    trips: int
    owned: int
    along: int = THINGS_A_TRIP
    readings: int = 0
    placed: bool = False

    def write(self, folder: Path) -> None:
        """Write it; the same sizes are always the same logbook."""
        folder.mkdir(parents=True)
        rng = random.Random(self.trips * 31 + self.owned)
        spans = [
            (f"trip-{n:05d}", date(1990, 1, 1) + timedelta(n * 6), NIGHTS)
            for n in range(self.trips)
        ]
        self._write_gear(folder)
        self._write_what_is_to_come(folder)
        logbooks.write_trips(folder, [(t, on, on + timedelta(n)) for t, on, n in spans])
        with (
            (folder / "carried.csv").open("w") as carried,
            (folder / "comfort.csv").open("w") as comfort,
        ):
            carried.write("trip,item,used\n")
            comfort.write("trip,day,score,warmth\n")
            for trip, start, nights in spans:
                for item in self._packed(rng):
                    carried.write(f"{trip},item-{item:03d},{rng.choice(('yes', 'no', ''))}\n")
                for n in range(nights):
                    score, warmth = rng.choice((2, 3, 3, 4, 4, 5)), rng.choice((-2, 0, 0, 0, 1))
                    comfort.write(f"{trip},{start + timedelta(n)},{score},{warmth}\n")
        self._write_weather(folder, rng, spans)
        if self.placed:
            self._place(folder, rng)
        if self.readings:
            self._write_readings(folder, rng, spans)

    def _write_gear(self, folder: Path) -> None:
        with (folder / "gear.csv").open("w") as out:
            out.write("item,name,system,weight_g,kit,rated_low_c\n")
            for n in range(self.owned):
                system = logbooks.SYSTEMS[n % len(logbooks.SYSTEMS)]
                rated = n % 13 - 6 if system == "sleep" else ""
                out.write(
                    f"item-{n:03d},Item {n},{system},{20 + n * 7 % 900},kit {n % 9},{rated}\n"
                )

    def _write_what_is_to_come(self, folder: Path) -> None:
        (folder / "candidates.csv").write_text(
            "candidate,system,weight_g,replaces,expected_nights\nnew-mat,sleep,200,item-001,100\n"
        )
        (folder / "trips" / PLAN).mkdir(parents=True)
        (folder / "trips" / PLAN / "trip.csv").write_text(
            f"trip,start_on,end_on,mode\n{PLAN},2095-06-01,2095-06-04,foot\n"
        )

    def _place(self, folder: Path, rng: random.Random) -> None:
        place = ",".join(map(str, PLACE))
        for trips in (folder / "trip.csv", folder / "trips" / PLAN / "trip.csv"):
            header, *rows = trips.read_text().splitlines()
            lines = [f"{header},latitude,longitude,elevation_m", *(f"{r},{place}" for r in rows)]
            trips.write_text("\n".join(lines) + "\n")
        taken = [f"{PLAN},item-{item:03d}" for item in self._packed(rng)]
        (folder / "trips" / PLAN / "carried.csv").write_text("\n".join(["trip,item", *taken, ""]))

    def _packed(self, rng: random.Random) -> list[int]:
        return sorted(rng.sample(range(self.owned), min(self.along, self.owned)))

    def _write_weather(
        self, folder: Path, rng: random.Random, spans: Sequence[tuple[str, date, int]]
    ) -> None:
        with (folder / "weather.csv").open("w") as out:
            out.write("trip,day,rain_mm,low_c\n")
            for trip, start, nights in spans:
                for n in range(nights + 1):
                    rain, low = rng.choice((0, 0, 3)), rng.randint(-5, 12)
                    out.write(f"{trip},{start + timedelta(n)},{rain},{low}\n")

    def _write_readings(
        self, folder: Path, rng: random.Random, spans: Sequence[tuple[str, date, int]]
    ) -> None:
        each = -(-self.readings // len(spans))
        step = timedelta(seconds=NIGHTS * 86_400 // each)
        with (folder / "temperatures.csv").open("w") as out:
            out.write("trip,at,temperature_c\n")
            for trip, start, _ in spans:
                at = datetime(start.year, start.month, start.day)
                for _ in range(each):
                    out.write(f"{trip},{at:%Y-%m-%d %H:%M:%S},{rng.randint(-50, 150) / 10}\n")
                    at += step


def bare_commas(folder: Path) -> None:
    """A logbook whose weather is ten million lines of commas."""
    Book(20, 200).write(folder)
    with (folder / "weather.csv").open("ab") as out:
        for _ in range(100):
            out.write(b",,,\n" * 100_000)


def blank_lines(folder: Path) -> None:
    """A logbook whose weather ends in 40 MB of blank lines."""
    Book(20, 200).write(folder)
    with (folder / "weather.csv").open("ab") as out:
        for _ in range(40):
            out.write(b"\n" * 1_000_000)


@dataclass(frozen=True, slots=True)
class Cost:
    """Of one process: seconds by the clock and of processor, peak MB; what it said if it failed."""

    seconds: float
    worked: float
    peak_mb: float
    said: str

    def beside(self, former: "Cost | None") -> str:
        """In words, with how many times as much as the size before took."""
        told = f"{self.worked:.1f} s ({self.seconds:.1f} s) | {self.peak_mb:,.0f} MB"
        if former is None or self.said or former.said:
            return f"{told}{self.said and ' | '}{self.said}"
        times = self.worked / former.worked, self.peak_mb / former.peak_mb
        return f"{told} | {times[0]:.1f} times, {times[1]:.1f} times"


def measured(command: Sequence[str]) -> Cost:
    """What one process costs."""
    started = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    assert process.stderr is not None
    said = process.stderr.read().decode()
    _, ended, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(ended)
    worked = usage.ru_utime + usage.ru_stime
    last = said.strip().rpartition("\n")[2] if process.returncode else ""
    return Cost(time.perf_counter() - started, worked, usage.ru_maxrss / 1024, last)


def tarebook(*words: str) -> list[str]:
    """A command line."""
    return [sys.executable, "-m", "tarebook.notebooks.cli", *words]


Words = Callable[[Path], list[str]]
"""The words of a command by its logbook's folder."""


def table(name: str) -> Words:
    """The command that prints a table."""
    asked = ["--trip", PLAN] if name in OF_A_PLAN else []
    return lambda folder: tarebook("table", name, str(folder), *asked)


def page(name: str) -> Words:
    """The command that makes a page, its size printed beside it by `run`."""
    asked = ["--trip", PLAN] if name == "before_trip" else []
    return lambda folder: tarebook("report", name, str(folder), *asked)


def new_trip(folder: Path) -> list[str]:
    """The command that lays out a trip like the latest one."""
    return tarebook("new", str(folder), "--trip", LAID_OUT)


def load(folder: Path) -> list[str]:
    """The command that loads."""
    return tarebook("load", str(folder))


def check(folder: Path) -> list[str]:
    """The command that checks."""
    return tarebook("check", str(folder))


Line = tuple[str, Words, Sequence[tuple[str, Callable[[Path], None]]]]


def books(*several: Book) -> list[tuple[str, Callable[[Path], None]]]:
    """Logbooks with what they are called."""
    return [
        (
            f"{b.trips} x {b.along} of {b.owned}"
            + f", {b.readings} readings" * bool(b.readings)
            + ", placed" * b.placed,
            b.write,
        )
        for b in several
    ]


GROWING = books(Book(20, 1000), Book(200, 1000), Book(2000, 1000))
OWNED = books(Book(200, 1000), Book(200, 10_000))
READINGS = books(*(Book(200, 1000, readings=n) for n in (10**5, 10**6, 10**7)))
PLACED = books(
    *(Book(n, 1000, placed=True) for n in (20, 200, 2000)), Book(200, 10_000, placed=True)
)
SINGLE = books(Book(60, 250, 80), Book(60, 500), Book(50, 1000))
HOLLOW = [("10 million lines of commas", bare_commas), ("40 MB of blank lines", blank_lines)]
EVERY: list[tuple[str, Words]] = [
    *[(name, table(name)) for name in TABLES if name != "outlook"],
    *[(f"page {name}", page(name)) for name in REPORTS],
    ("new --trip", new_trip),
    ("check", check),
    ("load", load),
]
LINES: list[Line] = [
    ("comfort_gain", table("comfort_gain"), SINGLE),
    *[(*each, GROWING) for each in EVERY],
    *[(*each, OWNED) for each in EVERY],
    *[
        (name, table(name), PLACED)
        for name in ("normals", "trip_normals", "nights", "outlook", "cold_limits", "cold_by_set")
    ],
    ("page before_trip", page("before_trip"), PLACED),
    ("page temperature_context", page("temperature_context"), PLACED),
    ("load", load, READINGS),
    ("check", check, READINGS),
    *[(name, table(name), READINGS) for name in ("nights", "trips", "cold_limits", "usage")],
    ("page temperature_context", page("temperature_context"), READINGS),
    ("load", load, HOLLOW),
    ("check", check, HOLLOW),
]


def run(line: Line, words: Sequence[str], folder: Path) -> None:
    """Measure one line, or those of its logbooks that the words name, and print it."""
    title, command, several = line
    former: Cost | None = None
    for name, write in several:
        if not all(word in f"{title} {name}" for word in words):
            continue
        logbook = folder / name.replace(" ", "-")
        if not logbook.exists():
            write(logbook)
        if command not in (load, check) and not (logbook / ".tarebook").exists():
            measured(load(logbook))
        shutil.rmtree(logbook / "reports", ignore_errors=True)
        cost = measured(command(logbook))
        if command is new_trip:
            shutil.rmtree(logbook / "trips" / LAID_OUT)
            measured(load(logbook))
        made = [*logbook.glob(f"reports/{title.removeprefix('page ')}*.html")]
        size = f" | page {max(p.stat().st_size for p in made) / 1e6:.1f} MB" if made else ""
        print(f"{title} | {name} | {cost.beside(former)}{size}", flush=True)
        former = cost


def main(words: Sequence[str], folder: Path) -> None:
    """Print every line that is asked for."""
    for line in LINES:
        run(line, words, folder)


if __name__ == "__main__":
    kept = os.environ.get("TAREBOOK_SIZES")
    if kept:
        main(sys.argv[1:], Path(kept))
    else:
        with tempfile.TemporaryDirectory() as made:
            main(sys.argv[1:], Path(made))
