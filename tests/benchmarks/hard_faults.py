"""Every step of a command at its files fails once: it ends in one line, and the next one is right.

`python tests/benchmarks/hard_faults.py [MOST] [WORDS] [--from FIRST]`: WORDS pick of load, report,
new, room, calls; of one of them from a fault of a number on, so that runs add up. Each opening,
writing, syncing, making, renaming and removing of Python's (`hard_steps`) fails with "no space",
"permission denied" and "not permitted" in turn; half of a writing is made first. `room` is what
DuckDB does: a load whose files may not grow beyond so many bytes, at 60 sizes. `calls` needs
strace: each system call of a whole load about the logbook fails with "no space", "permission
denied" or "interrupted", DuckDB's among them.

"Unworded": a traceback, a fault of the program or no line. "Wrong": the next command does not
answer as from the files. "Half": a name holds neither its former nor its new content.
"""

import errno
import json
import os
import random
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

import hard_traced
from hard_commands import Commands, Ended, commands, compare, contents, leftovers, one_line
from hard_tally import Tally, begin, ended, going
from tarebook.tripdata.table_schema import PACKAGE_FILE

SEED = "faults"
LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
ERRORS = (errno.ENOSPC, errno.EACCES, errno.EPERM)
KINDS = ("unworded", "wrong", "half", "left", "files changed")
ROOMS = 60
DAYS = ("1795564800", "1795651200")


def wording(done: Ended) -> str:
    """What is wrong with how a command ended in which something failed; mostly nothing."""
    if done.status == 0:
        return "" if "Traceback" not in done.err else "a traceback"
    named = "cannot be opened (" in done.err or "cannot be read (" in done.err
    if named and "Traceback" not in done.err and done.status == 1:
        return ""  # a file or folder is unreadable and named as such
    return one_line(done)


def faults(steps: list[str], most: int | None, rng: random.Random) -> list[tuple[int, int]]:
    """Which step fails, with which error; ``most``: no more than so many, drawn."""
    every = [(n + 1, error) for n in range(len(steps)) for error in ERRORS]
    rng.shuffle(every)
    return every[:most]


def _worded(tally: Tally, done: Ended, what: str) -> None:
    tally.add("faults")
    tally.add("done all the same", done.status == 0)
    wrong = wording(done)
    tally.expect(not wrong, "unworded", f"{what}: {wrong}: {done.status} {done.err[-600:]}")


def _load(run: Commands, work: Path) -> tuple[Path, Ended, dict[str, str]]:
    book = Path(shutil.copytree(LAKES, work / "lakes"))
    whole = run("load", book, folders=[str(work), str(run.scratch)])
    assert whole.status == 0, whole
    known = {t: run("table", t, book, "--as", "csv").out for t in ("trips", "items", "nights")}
    return book, whole, known


def _right(run: Commands, book: Path, known: dict[str, str], tally: Tally, what: str) -> None:
    table = [*known][tally.counts["faults"] % len(known)]
    told = run("table", table, book, "--as", "csv")
    right = told.status == 0 and told.out == known[table]
    tally.expect(right, "wrong", f"{what}, then table {table}: {told.err or told.status}")
    if leftovers(book, run.scratch):
        run("load", book)
    lies = leftovers(book, run.scratch)
    tally.expect(not lies, "left", f"{what}: {lies}")


def fail_loads(
    run: Commands, work: Path, most: int | None, tally: Tally, first: int = 0, **more: Any
) -> None:
    """Each step of a load of a logbook that has a store, or has none."""
    book, whole, known = _load(run, work)
    before, folders = contents(book), [str(work), str(run.scratch)]
    every = faults(whole.steps, most, random.Random(SEED))
    for number, (at, error) in going(every, tally, first):
        if number % 2:
            shutil.rmtree(book / ".tarebook", ignore_errors=True)
        done = run("load", book, folders=folders, at=at, error=error, **more)
        what = f"{done.steps[-1:] if len(done.steps) < at else done.steps[at - 1]} {error}"
        _worded(tally, done, what)
        compare(tally, "files changed", contents(book), before)
        _right(run, book, known, tally, what)


PAGES = ".pages.json"


def _is_json(path: Path) -> bool:
    try:
        return bool(json.loads(path.read_text("utf-8")))
    except ValueError:
        return False


def fail_reports(
    run: Commands, work: Path, most: int | None, tally: Tally, first: int = 0, **more: Any
) -> None:
    """Each step of making a page anew, but those of its notebook's kernel."""
    book, _, known = _load(run, work)
    pages, kept = book / "reports", work.with_name("kept")
    kept.mkdir()
    folders, words = [str(work), str(run.scratch)], ("report", "weigh_up", book)
    wanted: list[dict[str, str]] = []
    for number, day in enumerate(DAYS):
        asked: dict[str, Any] = {"keep" if number == 0 else "kept": str(kept)}
        whole = run(*words, environment={"SOURCE_DATE_EPOCH": day}, folders=folders, **asked)
        assert whole.status == 0, whole
        wanted.append(contents(pages, ()))
        shutil.copytree(pages, work / f"pages-{number}")
    before = contents(book)
    every = faults(whole.steps, most, random.Random(SEED))
    for _, (at, error) in going(every, tally, first):
        shutil.rmtree(pages, ignore_errors=True)
        shutil.copytree(work / "pages-0", pages)
        asked = {"environment": {"SOURCE_DATE_EPOCH": DAYS[1]}, "kept": str(kept)}
        done = run(*words, folders=folders, at=at, error=error, **asked, **more)
        what = f"{done.steps[at - 1] if len(done.steps) >= at else at} {error}"
        _worded(tally, done, what)
        there = contents(pages, ())
        for name, now in there.items():
            whole_ones = [each.get(name) for each in wanted]
            # What pages were drawn from is another thing where a file could not be opened.
            whole = now in whole_ones or (name == PAGES and _is_json(pages / name))
            tally.expect(whole, "half", f"{what}: {name}")
        if done.status == 0:
            for each in (there, wanted[1]):
                each.pop(PAGES, None)
            compare(tally, "half", there, wanted[1])
        compare(tally, "files changed", contents(book), before)
        again = run(*words, **asked)
        tally.expect(again.status == 0, "wrong", f"{what}, then: {again.err}")
        found = contents(pages, ())
        found.pop(PAGES)
        compare(tally, "wrong", found, {n: d for n, d in wanted[1].items() if n != PAGES})
        _right(run, book, known, tally, what)


def fail_news(
    run: Commands, work: Path, most: int | None, tally: Tally, first: int = 0, **more: Any
) -> None:
    """Each step of an empty logbook, and of a trip's folder."""
    whole = Path(shutil.copytree(LAKES, work / "whole"))
    shutil.rmtree(whole / "trips" / "2027-05-north")
    run("load", whole)
    folders = [str(work), str(run.scratch)]
    units = ["--units", "us", "--dates", "MM/DD/YYYY"]

    def nothing() -> Path:
        shutil.rmtree(work / "new", ignore_errors=True)
        return work / "new"

    def there() -> Path:
        shutil.rmtree(work / "lakes", ignore_errors=True)
        return Path(shutil.copytree(whole, work / "lakes"))

    ways: list[tuple[Callable[[], Path], list[str]]] = [
        (nothing, units),
        (there, ["--trip", "2027-05-north"]),
    ]
    before = 0
    for fresh, options in ways:
        made = run("new", fresh(), *options, folders=folders)
        assert made.status == 0, made
        book = work / ("new" if fresh is nothing else "lakes")
        wanted = contents(book)
        every = faults(made.steps, most, random.Random(SEED))
        for _, (at, error) in going(every, tally, first, before):
            fresh()
            done = run("new", book, *options, folders=folders, at=at, error=error, **more)
            what = f"{done.steps[at - 1] if len(done.steps) >= at else at} {error}"
            _worded(tally, done, what)
            found = contents(book) if book.is_dir() else {}
            for name, now in found.items():
                if name.endswith(".part"):  # one that could not be removed is, by the next command
                    continue
                # A file that could not be opened is described as one of which nothing is known.
                same = now == wanted.get(name)
                told = name == PACKAGE_FILE and _is_json(book / name)
                tally.expect(same or told, "half", f"{what}: {name}")
            again = run("new", book, *options)
            tally.expect(again.status == 0, "wrong", f"{what}, then: {again.err}")
            compare(tally, "wrong", contents(book), wanted)
            lies = leftovers(book, run.scratch)
            tally.expect(not lies, "left", f"{what}: {lies}")
        before += len(every)


def fail_rooms(
    run: Commands, work: Path, most: int | None, tally: Tally, first: int = 0, **more: Any
) -> None:
    """A load whose files may not grow beyond so many bytes, DuckDB's among them."""
    book, _, known = _load(run, work)
    before = contents(book)
    size = (book / ".tarebook" / "store.duckdb").stat().st_size
    many = most or ROOMS
    for number, _ in going(range(many), tally, first):
        # What it says goes to a file as well, which needs some room.
        room = 2_000 + size * number // many
        if number % 2:
            shutil.rmtree(book / ".tarebook", ignore_errors=True)
        done = run("load", book, room=room, **more)
        what = f"room for {room} bytes"
        _worded(tally, done, what)
        compare(tally, "files changed", contents(book), before)
        _right(run, book, known, tally, what)


def fail_calls(
    run: Commands, work: Path, most: int | None, tally: Tally, first: int = 0, **more: Any
) -> None:
    """Each system call of a whole load about its logbook."""
    if hard_traced.STRACE is None:
        print("  calls: no strace here")
        return
    book, _, known = _load(run, work)
    before = contents(book)
    environment = {"TMPDIR": str(run.scratch)}
    _, wrote = hard_traced.traced(["load", book], environment=environment)
    rng = random.Random(SEED)
    every = [
        (call, number, error)
        for call, number in hard_traced.calls_inside(wrote, work)
        for error in ("ENOSPC", "EACCES", "EINTR")
    ]
    rng.shuffle(every)
    for _, (call, number, error) in going(every[:most], tally, first):
        inject = f"{call}:error={error}:when={number}"
        done, wrote = hard_traced.traced(["load", book], inject, call, environment)
        if "INJECTED" not in wrote:
            tally.add("calls that did not come again")
            continue
        line = next(line for line in wrote.splitlines() if "INJECTED" in line)
        _worded(tally, done, line)
        compare(tally, "files changed", contents(book), before)
        _right(run, book, known, tally, line)


FAILED = {
    "load": fail_loads,
    "report": fail_reports,
    "new": fail_news,
    "room": fail_rooms,
    "calls": fail_calls,
}


def run(what: str, most: int | None = None, first: int = 0, **more: Any) -> Tally:
    """Let every step of one command fail, or ``most`` of them, drawn; from a number on."""
    tally = Tally()
    for name in ("faults", "done all the same", *KINDS):
        tally.add(name, 0)
    with commands(pages=what == "report") as (served, work):
        FAILED[what](served, work, most, tally, first, **more)
    return tally


if __name__ == "__main__":
    chosen, number, start = begin(FAILED)
    os.environ.pop("TAREBOOK_LOGBOOK", None)
    ended({what: run(what, number, start) for what in chosen}, SEED)
