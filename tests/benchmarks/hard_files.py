"""Files gone wrong: nothing breaks, every record is accounted for, nothing takes long or much.

`python tests/benchmarks/hard_files.py [FILES] [--from FIRST]`: so many spoilt files, 20,000 by
default, of all tables, `tarebook.toml` and `normals/`, one to three of them in a logbook, from the
logbook of a number on. Every logbook is checked, each tenth is loaded as well, half of those by the
way of large files; what the commands would print is printed into memory. Seconds are of the
processor.
"""

import contextlib
import io
import random
import sys
import tempfile
import time
from collections.abc import Callable
from functools import cache
from itertools import count
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1] / "tripdata"))
sys.path.insert(0, str(Path(__file__).parents[1] / "tripdata" / "normals"))

import dialects
import drawn
import kit
import station_files
from hard_tally import Tally, begin, ended, going, peak_mb
from spoiling import WAYS
from tarebook.notebooks import printing
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.contract import BY_NAME
from tarebook.tripdata.errors import TarebookError
from tarebook.tripdata.guide import blank_settings
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import load_logbook, memory_store, store_path

SEED = "spoilt files"
FILES = 20_000
MOST_S, MOST_MB = 20.0, 1024.0
SETTINGS = (
    blank_settings()
    + "\n[person]\nbody_kg = 70\n[goals]\nbase_weight_g = 6000\n[regret]\nsleep = 3\n[[logger]]\n"
    'files = "*-logger.csv"\ntime = "Clock"\ntemperature = "Celsius"\nunit = "c"\n'
)
NORMALS = "normals/station.csv"
TARGETS = (*BY_NAME, "tarebook.toml", NORMALS)


@cache
def whole(number: int) -> kit.Files:
    """A logbook with a file of each table in which nothing went wrong yet."""
    rng = random.Random(f"{SEED} whole {number}")
    if rng.random() < 0.3:
        book = drawn.a_logbook(rng)
    else:
        book = dialects.write_logbook(rng, dialects.draw_logbook(rng))
    for table in BY_NAME:
        if not _files_of(table, book):
            rows = kit.GOOD_ROWS[table]
            book[kit.file_of(table)] = kit.csv_text([rows, rows.values()])
    book.setdefault("tarebook.toml", SETTINGS)
    return book


@cache
def normals(number: int) -> bytes:
    """A file of normals, in one of the layouts."""
    made = (
        lambda: station_files.daily(),
        lambda: station_files.monthly(lambda _: 40.0),
        lambda: station_files.old_daily(lambda _: 400),
    )
    return made[number % len(made)]()


def _files_of(target: str, book: kit.Files) -> list[str]:
    if target not in BY_NAME:
        return [target] if target in book else []
    return [
        n for n in book if kit.table_of(Path(n).stem) == target and n.endswith((".csv", ".CSV"))
    ]


def spoilt(rng: random.Random, tally: Tally) -> kit.Files:
    """A logbook of which one to three files have gone wrong."""
    book = dict(whole(rng.randrange(200)))
    for target in rng.sample(TARGETS, rng.choice([1, 1, 2, 3])):
        if target == NORMALS:
            book[NORMALS] = normals(rng.randrange(3))
        name = rng.choice(_files_of(target, book))
        content = book[name]
        data = content if isinstance(content, bytes) else content.encode()
        way = rng.choice(list(WAYS))
        book[name] = WAYS[way](rng, data)
        tally.add("files")
    return book


def printed(findings: Findings) -> str:
    """All that `check`, `check --json` and `load` print of it."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        printing.problems(findings, sys.stdout)
        printing.sums(findings)
        printing.findings_as_json(findings)
    return out.getvalue()


def try_one(folder: Path, rng: random.Random, how: str, tally: Tally) -> None:
    """Read a spoilt logbook in one of the ways, and see that it was read as it must be."""
    if how == "stored":
        findings = load_logbook(folder)
        kit.prove_store(kit.Store(store_path(folder)), findings)
    elif how == "as large files":
        with memory_store() as connection:
            findings = Loader(folder, connection, folder, bulk_bytes=0).run()
    else:
        findings = check_logbook(folder)
    kit.prove_sums(findings)
    told = [*findings.problems, *findings.warnings]
    assert all(str(one).isprintable() for one in told), "a line that is not printable"
    printed(findings).encode()
    tally.add("records read", kit.records_read(findings))
    tally.add("set aside", kit.records_set_aside(findings))
    tally.add("loaded", sum(count.loaded for count in findings.files.values()))
    tally.add("laid out", sum(count.laid_out for count in findings.files.values()))
    tally.add("unreadable", sum(count.unreadable for count in findings.files.values()))


def run(
    files: int = FILES,
    seed: str = SEED,
    try_one: Callable[..., None] = try_one,
    first: int = 0,
) -> Tally:
    """Try so many files, from the logbook of a number on."""
    tally = Tally()
    worst_s = 0.0
    for number, _ in going(count(), tally, first):
        if tally.counts["files"] >= files:
            break
        tally.add("logbooks")
        rng = random.Random(f"{seed} {number}")
        how = {3: "stored", 8: "as large files"}.get(number % 20, "checked")
        with tempfile.TemporaryDirectory(prefix="hard-files-") as room:
            folder = kit.write(Path(room), spoilt(rng, tally))
            began, before = time.process_time(), peak_mb()
            try:
                try_one(folder, rng, how, tally)
                tally.expect(True, "tracebacks or wrong sums", "")
            except TarebookError as error:
                one = str(error).isprintable()
                tally.expect(one, "tracebacks or wrong sums", f"round {number}: {error!r}")
                tally.add("refused in one line")
            except Exception as error:
                tally.fault("tracebacks or wrong sums", f"round {number}, {how}: {error!r}"[:500])
            took = time.process_time() - began
            worst_s = max(worst_s, took)
            tally.expect(took < MOST_S, f"over {MOST_S:g} s", f"round {number}: {took:.1f} s")
            grew = peak_mb() > max(before, MOST_MB)
            tally.expect(not grew, f"over {MOST_MB:g} MB", f"round {number}: {peak_mb():.0f} MB")
    tally.add("s at most", round(worst_s + 0.5))
    tally.add("MB at most", round(peak_mb()))
    return tally


if __name__ == "__main__":
    _, number, start = begin()
    ended({"files": run(number or FILES, first=start)}, SEED)
