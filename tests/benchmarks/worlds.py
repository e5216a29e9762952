"""What the invented worlds share: weather, trips, logbooks written as CSV, and answers asked.

A world knows nothing of the models that are tried in it: it draws its truth from continuous
distributions, writes the CSV files that a person would have kept, and reads the tables and pages
that the program makes of them.
"""

import ast
import csv
import json
import math
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

# One thread: many small sums gain nothing from more, and they cost several times as much.
os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

Row = dict[str, Any]
PLACE = (47.44, -122.31, 113)
"""Latitude, longitude and height of the airport whose normals the program brings along."""


@dataclass
class Book:
    """The tables of a logbook before they are written; `settings` is its tarebook.toml."""

    tables: dict[str, list[Row]] = field(default_factory=dict)
    settings: str = ""

    def add(self, table: str, **cells: Any) -> None:
        """One more row; None is a blank cell."""
        self.tables.setdefault(table, []).append(cells)

    def without(self, blanks: dict[str, Sequence[str]]) -> "Book":
        """The same with these columns of these tables blank; a table of no column left goes."""
        kept = {}
        for table, rows in self.tables.items():
            lost = blanks.get(table, ())
            if "*" not in lost:
                kept[table] = [{k: v for k, v in row.items() if k not in lost} for row in rows]
        return Book(kept, self.settings)

    def write(self, folder: Path) -> Path:
        """Write it into a folder, which is made."""
        folder.mkdir(parents=True, exist_ok=True)
        for table, rows in self.tables.items():
            names = list(dict.fromkeys(name for row in rows for name in row))
            with (folder / f"{table}.csv").open("w", newline="", encoding="utf-8") as out:
                writer = csv.DictWriter(out, names, restval="", lineterminator="\n")
                writer.writeheader()
                writer.writerows(
                    {k: "" if v is None else v for k, v in row.items()} for row in rows
                )
        if self.settings:
            (folder / "tarebook.toml").write_text(self.settings, encoding="utf-8")
        return folder


@dataclass(frozen=True)
class Outing:
    """One trip: its name, first day, nights, and the low of each night."""

    name: str
    start: date
    nights: int
    lows_c: tuple[float, ...]
    normals_c: tuple[float, ...]

    @property
    def end(self) -> date:
        """Its last day."""
        return self.start + timedelta(self.nights)

    @property
    def days(self) -> list[date]:
        """All its days."""
        return [self.start + timedelta(n) for n in range(self.nights + 1)]

    @property
    def years(self) -> float:
        """Its start in years."""
        return self.start.toordinal() / 365.25


@cache
def _normals() -> dict[str, tuple[float, float]]:
    text = files("tarebook.tripdata.normals").joinpath("packaged.csv").read_text("utf-8")
    rows = csv.DictReader(text.splitlines())
    usual = {
        r["month_day"]: (float(r["low_c"]), float(r["spread_c"] or 3.0))
        for r in rows
        if r["station"] == "USW00024233"
    }
    usual.setdefault("02-29", usual["02-28"])
    return usual


def normal(night: date, height_m: float = PLACE[2]) -> tuple[float, float]:
    """Usual low and its spread of the night that begins on a date, °C, at a height."""
    low, spread = _normals()[(night + timedelta(1)).strftime("%m-%d")]
    return low - 0.0065 * (height_m - PLACE[2]), spread


def lows(
    rng: np.random.Generator, start: date, nights: int, height_m: float = PLACE[2]
) -> tuple[float, ...]:
    """Lows of nights in a row, each night much like the one before it."""
    drawn, z = [], rng.normal()
    for n in range(nights):
        low, spread = normal(start + timedelta(n), height_m)
        drawn.append(round(low + spread * z, 1))
        z = 0.68 * z + math.sqrt(1 - 0.68**2) * rng.normal()
    return tuple(drawn)


def starts(rng: np.random.Generator, trips: int, a_year: float, summer: float) -> list[date]:
    """First days of so many trips, so many a year on average, `summer` of them May to September.

    They are at least nine days apart, and end in 2026.
    """
    chosen: set[int] = set()
    last = date(2026, 9, 1).toordinal()
    span = max(trips / a_year * 365.25, trips * 16)
    while len(chosen) < trips:
        day = int(last - rng.uniform(0, span))
        warm = 5 <= date.fromordinal(day).month <= 9
        if rng.uniform() < (summer if warm else 1 - summer) and all(
            abs(day - other) >= 9 for other in chosen
        ):
            chosen.add(day)
    return [date.fromordinal(day) for day in sorted(chosen)]


def outing(
    rng: np.random.Generator, number: int, start: date, nights: int, height_m: float = PLACE[2]
) -> Outing:
    """A trip with its lows."""
    usual = tuple(normal(start + timedelta(n), height_m)[0] for n in range(nights))
    return Outing(
        f"t{number:02d}-{start:%Y-%m}",
        start,
        nights,
        lows(rng, start, nights, height_m),
        usual,
    )


def nights_of_trip(rng: np.random.Generator, mean: float) -> int:
    """How many nights a trip has: mostly two or three, seldom a week and more."""
    return int(np.clip(1 + rng.poisson(max(mean - 1, 0.1)), 1, 12))


@contextmanager
def loaded(book: Book) -> Iterator[Path]:
    """The book as a loaded logbook, in a folder that is gone afterwards.

    It must load without a complaint.
    """
    from tarebook.tripdata.store import load_logbook

    with tempfile.TemporaryDirectory(prefix="world-") as work:
        folder = book.write(Path(work) / "logbook")
        findings = load_logbook(folder)
        # A world knows nothing of the day on which it is loaded: its last trips may be to come.
        warned = [each for each in findings.warnings if "still to come" not in each.problem]
        complaints = [*findings.problems, *warned]
        if complaints:
            raise AssertionError(f"the world wrote a bad logbook: {complaints[:3]}")
        yield folder


def table(folder: Path, name: str, **asked: Any) -> list[Row]:
    """The rows of an analysis table, as `tarebook table NAME --as json` gives them."""
    from tarebook.analysis.tables import entry
    from tarebook.notebooks import writing

    out = folder.parent / f"{name}.json"
    writing.write(entry(name), folder, "json", out, asked)
    rows: list[Row] = json.loads(out.read_text(encoding="utf-8"))
    return rows


def page(
    folder: Path, name: str, sections: Sequence[str] = (), **parameters: Any
) -> dict[str, str]:
    """The texts of a report by section: what its notebook shows, without the kernel.

    sections: the ones wanted, by the name of their method on the page; by default all.
    """
    from tarebook import notebooks

    source = Path(notebooks.__path__[0]) / f"{name}.ipynb"
    cells = json.loads(source.read_text(encoding="utf-8"))["cells"]
    space: dict[str, Any] = {}
    shown: dict[str, str] = {}
    before = os.environ.get("TAREBOOK_LOGBOOK")
    os.environ["TAREBOOK_LOGBOOK"] = str(folder)
    try:
        for cell in cells:
            if cell["cell_type"] != "code":
                continue
            tree = ast.parse("".join(cell["source"]))
            last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
            exec(compile(tree, name, "exec"), space)
            if "parameters" in cell["metadata"].get("tags", ()):
                space.update(parameters)
            if isinstance(last, ast.Expr):
                section = ast.unparse(last.value).removeprefix("page.").removesuffix("()")
                if not sections or section in sections:
                    value = eval(compile(ast.Expression(last.value), name, "eval"), space)
                    shown[section] = value._repr_mimebundle_()["text/plain"]
    finally:
        if before is None:
            del os.environ["TAREBOOK_LOGBOOK"]
        else:
            os.environ["TAREBOOK_LOGBOOK"] = before
    return shown


Numbers = Sequence[bool] | Sequence[float] | np.ndarray
"""What a share or a mean is taken of."""


def share(hits: Numbers) -> str:
    """A share in per cent with its Monte-Carlo error, of independent logbooks."""
    if not len(hits):
        return "none"
    values = np.asarray(hits, float)
    p, n = values.mean(), len(values)
    return f"{100 * p:.0f} ± {100 * math.sqrt(max(p * (1 - p), 0.25 / n) / n):.0f} % of {n}"


def clustered(groups: Sequence[Sequence[bool]]) -> str:
    """A share in per cent over all that several logbooks hold; the error is between logbooks."""
    counts = np.array([(sum(g), len(g)) for g in groups if len(g)], float)
    if not len(counts):
        return "none"
    p = counts[:, 0].sum() / counts[:, 1].sum()
    m = len(counts)
    spread = math.sqrt(((counts[:, 0] - p * counts[:, 1]) ** 2).sum() / max(m - 1, 1) / m)
    error = spread / counts[:, 1].mean()
    return f"{100 * p:.0f} ± {100 * error:.0f} % of {int(counts[:, 1].sum())}"


def mean(values: Numbers) -> str:
    """A mean with its Monte-Carlo error."""
    if not len(values):
        return "none"
    error = np.std(values) / math.sqrt(len(values))
    return f"{np.mean(values):+.2f} ± {error:.2f}"


def count(default: int) -> int:
    """How many logbooks a line has: the last word of the command line where it is a number."""
    return int(sys.argv[-1]) if sys.argv[-1].isdigit() else default


def wanted(name: str) -> bool:
    """Whether a line is to be printed: it has all the words of the command line.

    The last word is the number of logbooks where it is a number and not the only one of a line.
    """
    words = [word.split("|") for word in sys.argv[1:-1]]
    if len(sys.argv) > 1 and not sys.argv[-1].isdigit():
        words.append(sys.argv[-1].split("|"))
    return all(any(option in name.split() for option in options) for options in words)
