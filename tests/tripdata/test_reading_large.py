"""Large files read set-based give the same rows and the same findings as read row by row.

The files here are small and the size from which on files count as large is set to nothing.
"""

import random
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import drawn
import duckdb
import kit
import pytest
from drawn import GEAR, TRIP
from tarebook.tripdata import bulk
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings, Problem
from tarebook.tripdata.sink import Sink
from tarebook.tripdata.store import memory_store

TABLES = bulk.BULK_TABLES
NEVER, ALWAYS = None, 0


@pytest.fixture(scope="module")
def store() -> Iterator[duckdb.DuckDBPyConnection]:
    with memory_store() as connection:
        yield connection


def read(
    store: duckdb.DuckDBPyConnection, folder: Path, work: Path, bulk_bytes: int | None
) -> tuple[Findings, dict[str, Counter[str]]]:
    """Findings and tables of one reading, which leaves the store as it was."""
    try:
        findings = Loader(folder, store, work, bulk_bytes=bulk_bytes).run()
        kit.prove_sums(findings)
        return findings, kit.tables(store)
    finally:
        with suppress(duckdb.Error):
            store.execute("ROLLBACK")
        kit.clear(store)


def _in_table(warning: Problem) -> Problem:
    return replace(warning, line=0) if warning.column == "brought_home" else warning


def prove_same(store: duckdb.DuckDBPyConnection, folder: Path, work: Path) -> Findings:
    """Read a logbook both ways and compare everything."""
    plain, plain_tables = read(store, folder, work, NEVER)
    large, large_tables = read(store, folder, work, ALWAYS)
    for name in plain_tables:
        assert large_tables[name] == plain_tables[name], name
    assert large.problems == plain.problems
    assert large.files == plain.files
    assert list(large.files) == list(plain.files)
    assert Counter(large.records) == Counter(plain.records)
    # What more came home than was taken is asked of a large file in its table, which has no lines.
    assert Counter(map(_in_table, large.warnings)) == Counter(map(_in_table, plain.warnings))
    assert not list(work.glob("*.rows"))
    return plain


def test_both_ways_agree(
    store: duckdb.DuckDBPyConnection,
    tmp_path_factory: pytest.TempPathFactory,
    times: Callable[[int], int],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    taken, again = large_path_taken(monkeypatch), rereadings(monkeypatch)
    for seed in range(times(18)):
        found = drawn.a_logbook(random.Random(f"large {seed}"))
        folder = kit.write(tmp_path_factory.mktemp("book"), found)
        try:
            prove_same(store, folder, tmp_path_factory.mktemp("work"))
        except BaseException as error:
            error.add_note(f"seed {seed}, files in {folder}")
            raise
    assert sum(n > 0 for n in taken) - len(again) > 10  # it was not the row reader every time


def rereadings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Tables that were read again row by row after all."""
    again: list[str] = []
    discard = Sink.discard

    def counting(self: Sink, table: str) -> None:
        again.append(table)
        discard(self, table)

    monkeypatch.setattr(Sink, "discard", counting)
    return again


@pytest.mark.parametrize("form", ["", "DD/MM/YYYY", "MM/DD/YYYY", "DD.MM.YYYY"])
@pytest.mark.parametrize("table", TABLES)
def test_every_tricky_cell(
    store: duckdb.DuckDBPyConnection,
    tmp_path: Path,
    table: str,
    form: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    files: kit.Files = {"gear.csv": GEAR, "trip.csv": TRIP}
    if form:
        files["tarebook.toml"] = f'[reading]\ndates = "{form}"\n'
    if table == "used":
        files["carried.csv"] = "trip,item\n" + "".join(
            f"long,{i}\n" for i in ("tent", "stove", "food", "Käse")
        )
    taken, again = large_path_taken(monkeypatch), rereadings(monkeypatch)
    files[f"{table}.csv"] = drawn.tricky(table, days=False)
    found = prove_same(store, kit.write(tmp_path / "book", files), tmp_path)
    assert found.files[f"{table}.csv"].set_aside
    assert taken[-1] > 20
    assert not again  # so that it was the set-based way that agreed
    monkeypatch.undo()
    files[f"{table}.csv"] = drawn.tricky(table)
    prove_same(store, kit.write(tmp_path / "book", files), tmp_path)


@pytest.mark.parametrize("unit", ["g", "kg", "oz", "lb"])
def test_every_tenth_of_a_milligram_rounds_the_same(
    store: duckdb.DuckDBPyConnection, tmp_path: Path, unit: str
) -> None:
    cells = [f"{n / 10_000:.4f}" for n in range(1, 4000, 7)]
    cells += [f"{n}.{d:04d}5" for n in (1, 99, 3000) for d in range(0, 10_000, 97)]
    rows = [["item", "bag", f"weight_{unit}"]] + [["tent", str(n), c] for n, c in enumerate(cells)]
    files: kit.Files = {"trips/river/carried.csv": kit.csv_text(rows)}
    prove_same(store, kit.write(tmp_path / "book", kit.GOOD | files), tmp_path)


def large_path_taken(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Rows that were loaded set-based, file by file."""
    taken: list[int] = []
    load = bulk.BulkFile.load

    def counting(self: bulk.BulkFile) -> int:
        taken.append(load(self))
        return taken[-1]

    monkeypatch.setattr(bulk.BulkFile, "load", counting)
    return taken


READINGS = "".join(f"2026-05-01 {h:02d}:{m:02d},{h}.5\n" for h in range(24) for m in range(60))
HEAD = "at,temperature_c\n"
Store = duckdb.DuckDBPyConnection
Prove = Callable[[kit.Files], list[int]]


@pytest.fixture
def prove(store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Prove:
    """Read files both ways; the rows that were loaded set-based."""
    taken = large_path_taken(monkeypatch)

    def run(files: kit.Files) -> list[int]:
        folder = kit.write(tmp_path / "book", {"gear.csv": GEAR, "trip.csv": TRIP} | files)
        prove_same(store, folder, tmp_path)
        return taken

    return run


@pytest.mark.parametrize(
    ("data", "rows"),
    [
        ((HEAD + READINGS).encode(), 1440),
        ((HEAD + READINGS).encode("utf-8-sig"), 1440),
        ((HEAD + READINGS).encode("utf-16"), 1440),
        ((HEAD + READINGS).replace("\n", "\r\n").encode(), 1440),
        ((HEAD + READINGS).replace("\n", "\r").encode(), 1440),
        (("sep=,\n\n" + HEAD + "\n" + READINGS + "\n\n").encode(), 1440),
        (("at,temperature_c,\n" + READINGS.replace("\n", ",\n")).encode(), 1440),
        ((HEAD.replace(",", ";") + READINGS.replace(",", ";").replace(".", ",")).encode(), 1440),
        ((HEAD.replace(",", "\t") + READINGS.replace(",", "\t")).encode(), 1440),
        (
            (HEAD + READINGS.replace("2026-05-01 12:30,12.5", '"2026-05-01 12:30",12.5')).encode(),
            1440,
        ),
        ((HEAD + READINGS + "2026-05-01 12:30,5,,\n2026-05-01 12:30,5,x\nx\n").encode(), 1441),
        (("at,temperature_c,note é\n" + READINGS.replace("\n", ",é\n")).encode(), 1440),
        (("at,temperature_c,note é\n" + READINGS.replace("\n", ",é\n")).encode("cp1252"), 1440),
    ],
)
def test_plain_files_are_loaded_set_based(prove: Prove, data: bytes, rows: int) -> None:
    assert prove({"trips/river/temperatures.csv": data}) == [rows]


@pytest.mark.parametrize(
    "data",
    [
        HEAD + READINGS + '2026-05-02 12:30,"5\n"\n',  # a quoted newline
        HEAD + READINGS + '2026-05-02 12:30,"5\n',  # a quote that is never closed
        HEAD + READINGS + '2026-05-02 12:30,5"\n',
        HEAD + READINGS + '2026-05-02 "12:30",5\n',
        HEAD + READINGS + '"2026-05-02 ""12:30""",5\n',
        HEAD + READINGS + "2026-05-02 12:30,5" + "," * 9 + "\n",  # too many cells
        HEAD + "x" * 100_001 + "\n" + READINGS,  # a line that is too long
        HEAD + "x" * 99_999 + "é\n" + READINGS,
        "at,temperature_c,note\n2026-05-01 12:30,5," + "x" * 100_000 + "\n" + READINGS,
        "at;temperature_c;note,\n" + READINGS.replace(",", ";") + "2026-05-02 12:30;5,5;x\n",
    ],
)
def test_other_files_are_left_to_the_row_reader(prove: Prove, data: str) -> None:
    prove({"trips/river/temperatures.csv": data})


def test_a_path_that_could_mean_other_files(store: Store, tmp_path: Path) -> None:
    for name in ("a*b", "axb"):
        kit.write(tmp_path / name, kit.GOOD | {"trips/river/temperatures-[x].csv": HEAD + READINGS})
    work = tmp_path / "work"
    work.mkdir()
    assert prove_same(store, tmp_path / "a*b", work).clean


def test_a_path_that_begins_like_a_home(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kit.write(tmp_path / "~book", kit.GOOD | {"trips/river/temperatures.csv": HEAD + READINGS})
    monkeypatch.chdir(tmp_path)
    Path("~work").mkdir()
    assert prove_same(store, Path("~book"), Path("~work")).clean


def test_a_trip_folder_in_quotes(prove: Prove) -> None:
    name = "trips/o'brien/carried.csv"
    assert prove({name: "item\ntent\n", "trips/riv=1/carried.csv": "item\ntent\n"}) == []


def test_each_large_file_is_asked_for_readings_inside_its_trip(prove: Prove) -> None:
    outside = READINGS.replace("2026-05", "2020-05")
    prove(
        {
            "trips/river/temperatures-a.csv": HEAD + READINGS,
            "trips/river/temperatures-b.csv": HEAD + outside,
            "trips/river/temperatures-c.csv": HEAD + outside,
        }
    )


def test_a_column_without_a_header_that_is_filled_far_below(prove: Prove) -> None:
    text = "at,temperature_c,\n" + READINGS.replace("\n", ",\n") * 5
    prove(
        {
            "trips/river/temperatures-a.csv": text + "2026-05-01 12:30,5,x\n",
            "trips/river/temperatures-b.csv": text + "2026-05-01 12:30,5,\u00a0\n",
        }
    )


@pytest.mark.parametrize("last", ["5,5", ",5", "5,", "5,5 g", "1,5.5"])
@pytest.mark.parametrize("first", ["5", "5,5"])
def test_the_decimal_mark_may_show_far_below(prove: Prove, first: str, last: str) -> None:
    lines = [f"2026-05-01 12:30;{first}"] + ["2026-05-01 12:30;5"] * 6000
    text = "at;temperature_c\n" + "\n".join([*lines, f"2026-05-01 12:30;{last}"])
    prove({"trips/river/temperatures.csv": text})


def test_repeats_between_large_files_are_told_as_ever(prove: Prove) -> None:
    rows = "".join(f"river,tent,b{n},\n" for n in range(50))
    prove(
        {
            "carried.csv": "trip,item,bag,note\n" + rows,
            "carried-copy.csv": "trip,item,bag,note\n" + rows + "river,stove,,\n",
            "trips/river/carried.csv": "item,bag\nTENT,B7\nfood,\n",
            "used.csv": "trip,item\nriver,tent\nriver,quilt\n",
        }
    )


def test_the_default_size_takes_the_set_based_way(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken = large_path_taken(monkeypatch)
    text = HEAD + READINGS * 75
    assert len(text) > bulk.BULK_BYTES
    folder = kit.write(tmp_path / "book", kit.GOOD | {"trips/river/temperatures.csv": text})
    findings, _ = read(store, folder, tmp_path, bulk.BULK_BYTES)
    assert taken == [75 * 1440]
    assert findings.clean


def test_a_large_file_that_ends_in_blank_lines_is_read_to_its_end(
    store: Store, tmp_path: Path
) -> None:
    # More of them than the reader of large files looks at in one piece, which it then gives up on.
    text = "at,temperature_c\n2026-05-01 21:30,5\n" + "\n" * 40_000_000
    folder = kit.write(tmp_path / "book", kit.GOOD | {"trips/river/temperatures.csv": text})
    findings, _ = read(store, folder, tmp_path, bulk.BULK_BYTES)
    assert findings.clean
    count = findings.files["trips/river/temperatures.csv"]
    assert (count.read, count.loaded) == (1, 1)
