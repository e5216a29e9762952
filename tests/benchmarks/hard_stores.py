"""Stores that are damaged, foreign or made to deceive: none is believed, and none reads anything.

`python tests/benchmarks/hard_stores.py [STORES] [--from FIRST]`: so many, 2,000 by default, or
those from a number on, each put in the place of a logbook's store, some with a seal made for it.
Then the next command brings the store up to date, says in one line that it was made anew, and
answers as from the CSV files: the rows of all tables are compared, and of each 20th what `tarebook
table` prints.

A watch (inotify) on a file outside tells whether anything opened it, a server on 127.0.0.1 whether
anything called. "The same, and believed" are stores sealed by whoever changed them, or with
something beside them, of which all that the program reads is as it was.
"""

import random
import shutil
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import duckdb
from hard_commands import Commands, commands, compare, contents, leftovers, one_line
from hard_store_cases import Case, Watch, cases
from hard_tally import Tally, begin, ended, going
from tarebook.analysis.store.set_aside import loading_remarks
from tarebook.tripdata.errors import TarebookError
from tarebook.tripdata.seal import write_seal
from tarebook.tripdata.store import ensure_current, load_logbook, open_for_reading, store_path

SEED = "stores"
STORES = 2_000
LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
TOLD = loading_remarks(True, 0, 0)[0]
CLI_EACH = 20


def rows(book: Path) -> dict[str, list[str]]:
    """Every row of every table of a logbook's store, as text."""
    with open_for_reading(store_path(book)) as connection:
        listed = "SELECT table_name FROM duckdb_tables() WHERE database_name = 'store' ORDER BY ALL"
        names = [name for (name,) in connection.execute(listed).fetchall()]
        found = {}
        for name in names:
            query = f'SELECT * FROM "{name}" ORDER BY ALL'
            found[name] = [repr(row) for row in connection.execute(query).fetchall()]
        return found


def _entries(book: Path) -> list[Path]:
    """What lies in the folder of the store, but for former files, which have folders."""
    return [path for path in (book / ".tarebook").iterdir() if path.name != "before"]


def try_one(
    run: Commands, book: Path, case: Case, known: dict[str, list[str]], tally: Tally
) -> None:
    """One case in its place; then what comes of it."""
    before = contents(book)
    try:
        findings = ensure_current(book)
        found = rows(book)
    except TarebookError as error:
        # A folder in a file's place is not removed: nobody knows what it holds.
        folders = [p for p in _entries(book) if p.is_dir()]
        fine = bool(folders) and str(error).isprintable()
        tally.expect(fine, "not answered", f"{case.name}: {error!r}"[:300])
        tally.add("refused in one line for a folder in the way")
        compare(tally, "files changed", contents(book), before)
        return
    except duckdb.Error as error:
        tally.fault("not answered", f"{case.name}: {error!r}"[:300])
        return
    tally.expect(found == known, "believed", case.name)
    told = findings is not None and findings.rebuilt
    tally.add("made anew", findings is not None)
    tally.add("told", told)
    if case.told is None:
        tally.add("the same, and believed", findings is None)
    else:
        tally.expect(told == case.told, "not told", f"{case.name}: {findings is not None}, {told}")
    compare(tally, "files changed", contents(book), before)
    lies = leftovers(book, run.scratch) if findings is not None else []
    lies = [name for name in lies if name != "store.duckdb.tmp"]
    tally.expect(not lies, "left", f"{case.name}: {lies}")


def try_command(run: Commands, book: Path, case: Case, wanted: str, tally: Tally) -> None:
    """One case in its place; then what `tarebook table` says and answers."""
    told = run("table", "items", book, "--as", "csv")
    if told.status == 1 and not told.out and any(p.is_dir() for p in _entries(book)):
        tally.expect(not one_line(told), "not answered", f"{case.name}: {told.err}")
        tally.add("refused in one line for a folder in the way")
        return
    tally.expect(told.out == wanted, "believed", f"{case.name}: {told.err}")
    lines = told.err.splitlines()
    tally.expect(len(lines) <= 1, "not told", f"{case.name}: {told.err}")
    if case.told is not None:
        tally.expect((f"tarebook: {TOLD}" in lines) == case.told, "not told", case.name)
    tally.add("by a command")


def run(stores: int = STORES, seed: str = SEED, first: int = 0) -> Tally:
    """Try so many stores, from one of a number on."""
    tally = Tally()
    for name in ("stores", "made anew", "told"):
        tally.add(name, 0)
    rng = random.Random(seed)
    with commands() as (served, work), tempfile.NamedTemporaryFile(dir=work) as outside:
        outside.write(b"item,system,weight_g\nnot mine,cook,1\n")
        outside.flush()
        book = Path(shutil.copytree(LAKES, work / "lakes"))
        load_logbook(book)
        known, wanted = rows(book), served("table", "items", book, "--as", "csv").out
        own, pristine = book / ".tarebook", work / "pristine"
        own.rename(pristine)
        size = (pristine / "store.duckdb").stat().st_size
        watch = Watch(Path(outside.name))
        for number, case in going(cases(watch, stores, size, rng), tally, first):
            shutil.rmtree(own, ignore_errors=True)
            made = Path(shutil.copytree(pristine, work / "made"))
            try:
                case.change(made)
                if case.sealed:
                    write_seal(made / "store.duckdb")
            except duckdb.Error as error:
                tally.add("not to be made")
                print(f"  not to be made: {case.name}: {str(error).splitlines()[0]}")
                shutil.rmtree(made)
                continue
            watch.opened()
            made.rename(own)
            tally.add("stores")
            if number % CLI_EACH == CLI_EACH - 1:
                try_command(served, book, case, wanted, tally)
            else:
                try_one(served, book, case, known, tally)
            tally.expect(not watch.opened(), "opened a file outside", case.name)
            tally.expect(not watch.called(), "called", case.name)
        watch.close()
    return tally


if __name__ == "__main__":
    _, number, start = begin()
    ended({"stores": run(number or STORES, first=start)}, SEED)
