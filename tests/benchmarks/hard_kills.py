"""Commands killed at any moment: what was there stays, what comes is all or nothing, nothing lies
about after the next one.

`python tests/benchmarks/hard_kills.py [KILLS] [WORDS] [--from FIRST]`: so many kills, 500 by
default, of each of load, report, new, demo and table, or of those that are named; of one of them
from a number on, so that runs add up. Every other kill comes at a step of the program at its files
(`hard_steps`: half of a writing is made then), each in turn, the others after a time, spread evenly
over what the command takes. Commands run in children of a process that has imported everything. Of
`report` the page `weigh_up` is made; its notebook was run beforehand, but in a tenth of the kills,
which are of the whole command with its kernel. Of `demo` the writing of the logbook and its load
are killed; no reports are made.

"Replaced" counts kills after which the new content was in its place already. "Lost": a person's
file or an answer is gone or wrong. "Stale": an answer is that of the files as they were before.
"Half": a name holds neither its former nor its new content. "Left": something lies about after the
next run of the command.
"""

import os
import random
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

import psutil
from hard_commands import Commands, Ended, commands, compare, contents, leftovers
from hard_tally import Tally, begin, ended, going

SEED = "kills"
KILLS = 500
LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
TABLES = ("trips", "items", "trip_systems")
"""Each of them tells a load's logbooks apart: a thing that comes along weighs something else."""
KINDS = ("lost", "stale", "half", "left")
DAYS = ("1795564800", "1795651200")
"""Two days, in seconds, on which reports are made: by the day alone their bytes differ."""
REBUILT = "the store did not look as this program left it"
ANEW_EACH = 5
"""After so many kills of a report it is made to its end."""


def moments(kills: int, whole: Ended, rng: random.Random) -> Iterator[dict[str, Any]]:
    """How each of the kills is asked for."""
    steps, order = len(whole.steps), [*range(kills)]
    rng.shuffle(order)
    for number in order:
        if number % 2:
            yield {"kill_after": whole.seconds * number / kills}
        else:
            yield {"at": 1 + steps * number // kills}


def answers(run: Commands, book: Path, table: str, tally: Tally, planted: str | None = None) -> str:
    """What the next plain command answers; a fault where it does not."""
    told = run("table", table, book, "--as", "csv", planted=planted)
    said = [line for line in told.err.splitlines() if REBUILT not in line]
    tally.expect(told.status == 0 and not said, "lost", f"table {table}: {told.status} {told.err}")
    tally.add("told that the store was made anew", int(REBUILT in told.err))
    return told.out


def kill_loads(
    run: Commands,
    work: Path,
    kills: int,
    tally: Tally,
    first: int = 0,
    after: str | None = None,
    **more: Any,
) -> None:
    """A load after each change of gear.csv; ``after``: what is planted in the command after it."""
    book = Path(shutil.copytree(LAKES, work / "lakes"))
    gear = book / "gear.csv"
    texts = [gear.read_text().replace("shelter,410,", f"shelter,{400 + n},") for n in range(2)]
    known: list[dict[str, str]] = []
    for text in texts:
        gear.write_text(text)
        whole = run("load", book, folders=[str(work), str(run.scratch)])
        assert whole.status == 0, whole
        known.append({t: run("table", t, book, "--as", "csv").out for t in TABLES})
    assert all(known[0][table] != known[1][table] for table in TABLES)
    folders, rng, store = [str(work), str(run.scratch)], random.Random(SEED), book / ".tarebook"
    for number, moment in going(moments(kills, whole, rng), tally, first):
        now = number % len(texts)
        gear.write_text(texts[now])
        before, built = contents(book), (store / "store.duckdb").stat().st_ino
        killed = run("load", book, folders=folders, **moment, **more)
        tally.add("kills", killed.killed)
        tally.add("replaced", (store / "store.duckdb").stat().st_ino != built)
        table = TABLES[number % len(TABLES)]
        found = answers(run, book, table, tally, after)
        if found != known[now][table]:
            others = [each[table] for each in known]
            tally.fault("stale" if found in others else "lost", f"{moment}: table {table}")
        compare(tally, "lost", contents(book), before)
        lies = leftovers(book, run.scratch)
        if lies:  # where nothing was to be loaded
            run("load", book, planted=after)
            lies = leftovers(book, run.scratch)
        tally.expect(not lies, "left", f"{moment}: {lies}")


def _kernels(book: Path) -> list[int]:
    """Processes that know this logbook by their environment."""
    found = []
    for process in psutil.process_iter():
        try:
            if process.environ().get("TAREBOOK_LOGBOOK") == str(book):
                found.append(process.pid)
        except psutil.Error:
            continue
    return found


def _gone(book: Path, seconds: float = 60) -> bool:
    until = time.monotonic() + seconds
    while _kernels(book) and time.monotonic() < until:
        time.sleep(0.2)
    return not _kernels(book)


def kill_reports(
    run: Commands,
    work: Path,
    kills: int,
    tally: Tally,
    first: int = 0,
    with_kernel: int | None = None,
    **more: Any,
) -> None:
    """A page made anew on another day, or for the first time."""
    book = Path(shutil.copytree(LAKES, work / "lakes"))
    pages, kept = book / "reports", work.with_name("kept")
    kept.mkdir()
    words = ("report", "weigh_up", book)
    folders = [str(work), str(run.scratch)]
    days = [{"SOURCE_DATE_EPOCH": day} for day in DAYS]
    with_kernel = kills // 10 if with_kernel is None else with_kernel
    known: list[dict[str, str]] = []
    for number, day in enumerate(days):
        asked: dict[str, Any] = {"keep" if number == 0 else "kept": str(kept)}
        whole = run(*words, environment=day, **asked, folders=folders)
        assert whole.status == 0, whole
        shutil.copytree(pages, work / f"pages-{number}")
        known.append(contents(pages, ()))
    real = run(*words, environment=days[0], folders=folders) if with_kernel else whole
    table = {t: run("table", t, book, "--as", "csv").out for t in TABLES}
    rng = random.Random(SEED)
    asked_for = [*moments(kills - with_kernel, whole, rng)]
    asked_for += [
        {"kill_after": real.seconds * n / with_kernel, "kernel": True} for n in range(with_kernel)
    ]
    rng.shuffle(asked_for)
    before = contents(book)
    for number, moment in going(asked_for, tally, first):
        kernel = moment.pop("kernel", False)
        for_the_first_time = number % 3 == 2
        shutil.rmtree(pages, ignore_errors=True)
        if not for_the_first_time:
            shutil.copytree(work / "pages-0", pages)
        options = {} if kernel else {"kept": str(kept)}
        asked = dict(environment=days[1], folders=folders, **options, **more)
        killed = run(*words, **asked, **moment)
        tally.add("kills", killed.killed)
        tally.add("of them with the kernel", killed.killed and kernel)
        there = contents(pages, ()) if pages.is_dir() else {}
        page = there.get("weigh_up.html")
        tally.add("replaced", page == known[1]["weigh_up.html"])
        for name, now in there.items():
            if not (name.startswith(".") and name.endswith(".part")):
                whole_ones = [each.get(name) for each in known[int(for_the_first_time) :]]
                tally.expect(now in whole_ones, "half", f"{moment}: {name}")
        which = TABLES[number % len(TABLES)]
        tally.expect(answers(run, book, which, tally) == table[which], "lost", f"{moment}: {which}")
        compare(tally, "lost", contents(book), before)
        if kernel:
            tally.expect(_gone(book), "left", f"{moment}: a kernel runs on")
        if kernel or number % ANEW_EACH == ANEW_EACH - 1 or number == len(asked_for) - 1:
            again = run(*words, environment=days[1], kept=str(kept))
            tally.expect(again.status == 0, "lost", f"{moment}, then: {again.err}")
            compare(tally, "half", contents(pages, ()), known[1])
            lies = leftovers(book, run.scratch)
            tally.expect(not lies, "left", f"{moment}: {lies}")


def _kill_makings(
    run: Commands,
    tally: Tally,
    kills: int,
    fresh: Callable[[], Path],
    words: Callable[[Path], list[object]],
    first: int = 0,
    before: int = 0,
    **more: Any,
) -> None:
    """A command that makes files, killed, then given again to its end."""
    folders = [str(fresh().parent), str(run.scratch)]
    book = fresh()
    whole = run(*words(book), folders=folders, **more)
    assert whole.status == 0, whole
    wanted = contents(book)
    rng = random.Random(SEED)
    for _, moment in going(moments(kills, whole, rng), tally, first, before):
        book = fresh()
        former = contents(book) if book.is_dir() else {}
        killed = run(*words(book), folders=folders, **more, **moment)
        tally.add("kills", killed.killed)
        there = contents(book) if book.is_dir() else {}
        tally.add("replaced", there == wanted)
        for name, now in there.items():
            if not Path(name).name.startswith(".tarebook-") and not name.endswith(".part"):
                whole_ones = (wanted.get(name), former.get(name))
                tally.expect(now in whole_ones, "half", f"{moment}: {name}")
        again = run(*words(book), **more)
        done = f"{moment}, then {again.status}: {again.err}"
        tally.expect(again.status == 0, "lost", done)
        found = contents(book) if book.is_dir() else {}
        compare(tally, "lost", found, wanted)
        lies = leftovers(book, run.scratch) if book.is_dir() else []
        tally.expect(not lies, "left", f"{moment}: {lies}")


def kill_news(
    run: Commands, work: Path, kills: int, tally: Tally, first: int = 0, **more: Any
) -> None:
    """An empty logbook, and a trip's folder in one that is there."""
    whole = Path(shutil.copytree(LAKES, work / "whole"))
    shutil.rmtree(whole / "trips" / "2027-05-north")
    run("load", whole)

    def no_folder() -> Path:
        shutil.rmtree(work / "new", ignore_errors=True)
        return work / "new"

    def folder() -> Path:
        shutil.rmtree(work / "lakes", ignore_errors=True)
        return Path(shutil.copytree(whole, work / "lakes"))

    half = kills // 2
    units = ["--units", "us", "--dates", "MM/DD/YYYY"]
    _kill_makings(run, tally, half, no_folder, lambda at: ["new", at, *units], first, **more)
    trip = ["--trip", "2027-05-north"]
    with_trip = kills - half, folder, lambda at: ["new", at, *trip], first, half
    _kill_makings(run, tally, *with_trip, **more)


def kill_demos(
    run: Commands, work: Path, kills: int, tally: Tally, first: int = 0, **more: Any
) -> None:
    """The demo's logbook, written for the first time, or over an earlier one."""
    more["without_reports"] = True
    whole = work / "whole"
    made = run("demo", whole, without_reports=True)
    assert made.status == 0, made

    def no_folder() -> Path:
        shutil.rmtree(work / "demo", ignore_errors=True)
        return work / "demo"

    def folder() -> Path:
        shutil.rmtree(work / "demo", ignore_errors=True)
        return Path(shutil.copytree(whole, work / "demo"))

    half = kills // 2
    _kill_makings(run, tally, half, no_folder, lambda at: ["demo", at], first, **more)
    over = kills - half, folder, lambda at: ["demo", at], first, half
    _kill_makings(run, tally, *over, **more)


def kill_tables(
    run: Commands, work: Path, kills: int, tally: Tally, first: int = 0, **more: Any
) -> None:
    """A table written to a file that is there, or for the first time."""
    book = Path(shutil.copytree(LAKES, work / "lakes"))
    run("load", book)
    place = work / "out"

    def none() -> Path:
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        return place

    def one() -> Path:
        (none() / "items.csv").write_text("item\nof another day\n")
        return place

    def words(at: Path) -> list[object]:
        return ["table", "items", book, "--as", "csv", "--out", at / "items.csv"]

    half = kills // 2
    _kill_makings(run, tally, half, none, words, first, **more)
    _kill_makings(run, tally, kills - half, one, words, first, half, **more)


KILLED = {
    "load": kill_loads,
    "report": kill_reports,
    "new": kill_news,
    "demo": kill_demos,
    "table": kill_tables,
}


def run(what: str, kills: int = KILLS, first: int = 0, **more: Any) -> Tally:
    """Kill one command so often, from the kill of a number on."""
    tally = Tally()
    for name in ("kills", "replaced", *KINDS):
        tally.add(name, 0)
    with commands(pages=what == "report") as (served, work):
        KILLED[what](served, work, kills, tally, first, **more)
    return tally


if __name__ == "__main__":
    chosen, number, start = begin(KILLED)
    os.environ.pop("TAREBOOK_LOGBOOK", None)
    ended({what: run(what, number or KILLS, start) for what in chosen}, SEED)
