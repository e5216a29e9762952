"""`tarebook export`: what other programs read back is what the logbook holds, to the milligram."""

import csv
import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq
import pytest
from frictionless import Resource, validate
from tarebook.analysis import open_logbook
from tarebook.analysis.tables import TABLES
from tarebook.notebooks.export import parquet_files, placing, writing
from tarebook.notebooks.export.described import Written
from tarebook.notebooks.export.outgoing import Outgoing, outgoing
from tarebook.notebooks.export.parquet_files import write_parts
from tarebook.tripdata.contract import BY_NAME
from tarebook.tripdata.contract import TABLES as RECORDS
from tarebook.tripdata.start import new_logbook
from tarebook.tripdata.table_schema import PACKAGE_FILE
from tarebook.tripdata.units import DIMENSIONS, SIGNS, to_whole

Run = Callable[..., tuple[int, str, str]]
LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
OUTGOING = {table.name: table for table in outgoing()}
NEEDS_OPTIONS = {"outlook"}
WRITTEN: dict[str, Written] = {}
"""The tables of the export that tests share, by name."""


def in_folder(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its path."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def by_pandas(export: Path, name: str) -> pd.DataFrame:
    folder = export / OUTGOING[name].folder
    path = folder / name
    return pd.read_parquet(path if path.is_dir() else path.with_suffix(".parquet"))


def by_duckdb(export: Path, name: str) -> duckdb.DuckDBPyRelation:
    """The same by DuckDB's own reader, which shares no code with the one that wrote it."""
    folder = export / OUTGOING[name].folder
    path = folder / name
    files = f"{path}/*/*.parquet" if path.is_dir() else f"{path}.parquet"
    return duckdb.read_parquet(files, hive_partitioning=path.is_dir())


def described(export: Path) -> dict[str, Any]:
    package: dict[str, Any] = json.loads((export / PACKAGE_FILE).read_text("utf-8"))
    return package


@pytest.fixture(scope="module")
def lakes(logbook: Callable[[str], Path]) -> Path:
    return logbook("lakes")


@pytest.fixture(scope="module")
def exported(lakes: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("exported") / "lakes"
    WRITTEN.update({each.table.name: each for each in writing.export(lakes, folder).written})
    return folder


@pytest.fixture
def tables_at_hand(exported: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The tables of a further export are copied and not worked out; that they would be the same to
    the byte has a test of its own."""

    def copied(table: Outgoing, store: Any, work: Path, *_: Any) -> Written:
        place = Path(table.folder) / table.name
        if (exported / place).is_dir():
            shutil.copytree(exported / place, work / place)
        else:
            (work / place).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(exported / f"{place}.parquet", work / f"{place}.parquet")
        return WRITTEN[table.name]

    monkeypatch.setattr(writing, "_write", copied)


@pytest.fixture(scope="module")
def of_the_demo(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("exported") / "demo"
    writing.export(demo_folder, folder)
    return folder


def test_the_command_says_what_it_wrote_and_what_is_not_in_it(
    run: Run, lakes: Path, tmp_path: Path
) -> None:
    status, out, err = run("export", tmp_path / "out", lakes)
    assert status == 0
    first, second, third = out.splitlines()
    assert first.startswith(f"{tmp_path / 'out' / 'records'}: {len(RECORDS)} tables, ")
    assert second.startswith(f"{tmp_path / 'out' / 'tables'}: {len(TABLES) - 1} tables, ")
    assert third == f"{tmp_path / 'out' / PACKAGE_FILE} describes them"
    assert err.splitlines() == [
        "tarebook: outlook is not in it, since it needs options: `tarebook table outlook --help`"
    ]


def test_every_table_is_there_with_its_columns_in_order(exported: Path) -> None:
    resources = {each["name"]: each for each in described(exported)["resources"]}
    assert resources.keys() == ({t.name for t in RECORDS} | TABLES.keys()) - NEEDS_OPTIONS
    assert described(exported)["drawn"]["left_out"].keys() == NEEDS_OPTIONS
    files = {path for path in in_folder(exported) if path != PACKAGE_FILE}
    listed = [file["path"] for each in resources.values() for file in each["files"]]
    assert sorted(listed) == sorted(files)
    for name, resource in resources.items():
        entry = TABLES.get(name)
        names = entry.column_names if entry else [c.stored for c in BY_NAME[name].columns]
        parted = "partition" in resource
        sure = entry is None or next((not t.nullable for t in entry.columns if t.name == "trip"), 0)
        assert parted == bool("trip" in names and sure and name != "trip")
        wanted = [n for n in names if n != "season" or not parted]
        assert [field["name"] for field in resource["schema"]["fields"]] == wanted
        for path in (file["path"] for file in resource["files"]):
            assert pq.read_schema(exported / path).names == wanted
            assert path.startswith(f"{OUTGOING[name].folder}/{name}/season=") == parted
        wanted += ["season"] * parted
        assert list(by_pandas(exported, name).columns) == wanted
        assert by_duckdb(exported, name).columns == wanted


def test_units_and_meanings_go_with_each_column(exported: Path) -> None:
    package = {each["name"]: each for each in described(exported)["resources"]}
    for table in (table for table in OUTGOING.values() if table.name not in NEEDS_OPTIONS):
        resource = package[table.name]
        schema = pq.read_schema(exported / resource["files"][0]["path"])
        about = json.loads(schema.metadata[b"tarebook"])
        if table.entry:
            wanted = {term.name: (term.unit, term.meaning) for term in table.entry.columns}
        else:
            columns = BY_NAME[table.name].columns
            units = {d.name: SIGNS.get(d.stored, d.stored) for d in DIMENSIONS.values()}
            wanted = {c.stored: (units.get(c.kind, ""), c.meaning) for c in columns}
        for field in schema:
            unit, meaning = wanted[field.name]
            assert field.metadata == {b"unit": unit.encode(), b"meaning": meaning.encode()}
            assert {"name": field.name, "unit": unit, "meaning": meaning} in about["columns"]
        for field in resource["schema"]["fields"]:
            if field["name"] in wanted and field["name"] in schema.names:
                assert (field.get("unit", ""), field["description"]) == wanted[field["name"]]
        assert about["program"].startswith("tarebook ")
        assert about["inputs"] == described(exported)["drawn"]["inputs"]
        assert meaning


def test_the_other_engine_finds_the_same_in_the_files_themselves(exported: Path) -> None:
    path = exported / "records" / "gear.parquet"
    keys = duckdb.sql(f"SELECT decode(key), decode(value) FROM parquet_kv_metadata('{path}')")
    about = json.loads(dict(keys.fetchall())["tarebook"])
    assert about["table"] == "gear"
    assert {"name": "weight_mg", "unit": "mg"}.items() <= about["columns"][3].items()


def plain(frame: pd.DataFrame) -> list[tuple[Any, ...]]:
    """Rows as Python values, None for what is missing, in an order of their own."""
    rows = []
    for row in frame.itertuples(index=False, name=None):
        values = [None if v is None or v is pd.NA or v is pd.NaT or v != v else v for v in row]
        rows.append(tuple(str(v)[:10] if hasattr(v, "isoformat") else v for v in values))
    return sorted(rows, key=repr)


def numbers(rows: list[tuple[Any, ...]]) -> list[tuple[Any, ...]]:
    """The same with every number as a float, since readers differ in what they take them for."""
    return sorted(
        (
            tuple(float(v) if isinstance(v, int) and not isinstance(v, bool) else v for v in row)
            for row in rows
        ),
        key=repr,
    )


@pytest.mark.parametrize("name", [n for n in TABLES if n not in NEEDS_OPTIONS])
def test_two_engines_read_back_what_the_tables_say(exported: Path, lakes: Path, name: str) -> None:
    with open_logbook(lakes, warn=False) as book:
        wanted = book.table(name)
    for column in (c for c in wanted if c.endswith("season")):
        wanted[column] = wanted[column].str.replace(" ", "-")
    seasons = dict(by_pandas(exported, "trips")[["trip", "season"]].astype(str).values)
    frame = by_pandas(exported, name)
    if "season" in frame and "season" not in wanted:
        trips = frame["trip"]
        known = [None if pd.isna(t) else seasons.get(t) for t in trips]
        assert [None if pd.isna(s) else s for s in frame["season"]] == known
        frame = frame.drop(columns="season")
    rows = numbers(plain(wanted[list(frame.columns)].astype(object)))
    assert numbers(plain(frame.astype(object))) == rows
    other = by_duckdb(exported, name).select(*frame.columns)
    assert numbers(plain(pd.DataFrame(other.fetchall(), columns=other.columns, dtype=object))) == (
        rows
    )


def typed(folder: Path, table: str, column: str) -> Iterator[tuple[dict[str, str], int]]:
    """Each row of the CSV files that has a weight there, and the weight in mg, from its digits."""
    for path in sorted(folder.rglob(f"{table}*.csv")):
        with path.open(newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                for unit in ("g", "kg", "oz", "lb"):
                    if text := row.get(f"{column}_{unit}", ""):
                        yield row, to_whole(text, DIMENSIONS["mass"].factors[unit])


@pytest.mark.parametrize(
    ("table", "column"),
    [
        ("gear", "weight"),
        ("weighings", "weight"),
        ("carried", "weight"),
        ("carried", "brought_home"),
    ],
)
def test_sums_are_those_of_the_csv_files_to_the_milligram(
    of_the_demo: Path, demo_folder: Path, table: str, column: str
) -> None:
    wanted = sum(weight for _, weight in typed(demo_folder, table, column))
    assert wanted > 0
    assert int(by_pandas(of_the_demo, table)[f"{column}_mg"].sum()) == wanted
    sums = by_duckdb(of_the_demo, table).sum(f"{column}_mg").fetchall()
    assert int(sums[0][0]) == wanted


def test_the_marts_sums_follow_from_the_records_that_went_out(of_the_demo: Path) -> None:
    """Base weight anew from carried, gear and weighings as exported, by the other engine."""
    views = {
        n: by_duckdb(of_the_demo, n) for n in ("carried", "gear", "weighings", "trip", "trips")
    }
    carried, gear, weighings = views["carried"], views["gear"], views["weighings"]
    trip, trips = views["trip"], views["trips"]
    assert [len(v.columns) > 3 for v in (carried, gear, weighings, trip, trips)] == [True] * 5
    rows = duckdb.sql(
        """
        WITH weighed AS (
          SELECT
            c.trip,
            c.quantity * coalesce(
              c.weight_mg,
              (SELECT arg_max(w.weight_mg, w.weighed_on) FROM weighings AS w
               WHERE w.item = c.item AND w.weighed_on <= t.start_on),
              g.weight_mg
            ) AS mg
          FROM carried AS c JOIN trip AS t USING (trip) JOIN gear AS g USING (item)
          WHERE coalesce(c.carried_as, g.carried_as) = 'base' AND c.carried_by IS NULL
            AND coalesce(c.from_day, t.start_on) <= t.start_on
        )
        SELECT trips.trip, CAST(sum(mg) AS BIGINT), CAST(round(any_value(base_g) * 1000) AS BIGINT)
        FROM trips JOIN weighed USING (trip) GROUP BY trips.trip ORDER BY ALL
        """
    ).fetchall()
    assert len(rows) > 20
    assert [row for row in rows if row[1] != row[2]] == []


def test_every_file_says_missing_and_never_not_a_number(of_the_demo: Path) -> None:
    numbers_seen = missing = 0
    for path in of_the_demo.rglob("*.parquet"):
        for column in pq.ParquetFile(path).read().columns:
            missing += column.null_count
            if pa.types.is_floating(column.type):
                numbers_seen += len(column)
                assert not pc.any(pc.is_nan(column)).as_py(), path
                assert not pc.any(pc.is_inf(column)).as_py(), path
    assert numbers_seen > 1000
    assert missing > 1000


@pytest.mark.parametrize("which", ["exported", "of_the_demo"])
def test_the_files_keep_what_the_package_promises(
    which: str, request: pytest.FixtureRequest
) -> None:
    """Types, what is required, allowed values, keys and references, by the reader others use."""
    export: Path = request.getfixturevalue(which)
    report = validate(str(export / PACKAGE_FILE))
    assert report.errors == []
    assert report.flatten(["name", "type", "fieldName", "rowNumber", "note"]) == []
    package = described(export)
    assert report.stats["tasks"] == len(package["resources"]) > 30
    assert sum(len(r["schema"].get("foreignKeys", [])) for r in package["resources"]) > 10
    # Of a table in several files it reads the first: so each by itself, too.
    files = 0
    for resource in package["resources"]:
        schema = {k: v for k, v in resource["schema"].items() if k != "foreignKeys"}
        for file in resource["files"][1:]:
            single = {"name": "single", "path": file["path"], "format": "parquet", "schema": schema}
            found = Resource.from_descriptor(single, basepath=str(export)).validate()
            assert found.flatten(["type", "fieldName", "note"]) == [], file["path"]
            files += 1
    assert files > 20


WRONG_ROWS: dict[str, tuple[str, Callable[[pd.DataFrame], None]]] = {
    "a key twice": ("primary-key", lambda rows: rows.__setitem__("item", rows["item"].iloc[0])),
    "what is required": ("constraint-error", lambda rows: rows.__setitem__("item", None)),
    "text for a number": ("type-error", lambda rows: rows.__setitem__("weight_mg", "heavy")),
    "no such choice": ("constraint-error", lambda rows: rows.__setitem__("system", "sails")),
}


@pytest.mark.parametrize("case", WRONG_ROWS)
def test_rows_that_break_the_promise_are_found(exported: Path, tmp_path: Path, case: str) -> None:
    kind, spoil = WRONG_ROWS[case]
    out = tmp_path / "out"
    shutil.copytree(exported, out)
    path = out / "records" / "gear.parquet"
    rows = pq.read_table(path).to_pandas()
    spoil(rows)
    pq.write_table(pa.Table.from_pandas(rows, preserve_index=False), path)
    found = {kind for (kind,) in validate(str(out / PACKAGE_FILE)).flatten(["type"])}
    assert kind in found


def test_cautions_go_with_the_rows(of_the_demo: Path) -> None:
    package = {each["name"]: each for each in described(of_the_demo)["resources"]}
    cautioned = [entry for entry in TABLES.values() if entry.caution]
    assert cautioned
    for entry in cautioned:
        if entry.name in NEEDS_OPTIONS:
            continue
        resource = package[entry.name]
        assert entry.caution in resource["description"]
        schema = pq.read_schema(of_the_demo / resource["files"][0]["path"])
        assert entry.caution in json.loads(schema.metadata[b"tarebook"])["remarks"]
    assert "no reason to leave at home" in described(of_the_demo)["description"]


def test_the_same_logbook_gives_the_same_bytes_wherever_and_whenever_it_lies(
    run: Run, exported: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "elsewhere"
    shutil.copytree(LAKES, folder)
    for path in folder.rglob("*"):
        os.utime(path, (1, 1))
    assert run("export", tmp_path / "out", folder)[0] == 0
    first, second = in_folder(exported), in_folder(tmp_path / "out")
    assert second.keys() == first.keys()
    assert [name for name in first if first[name] != second[name]] == []


def test_a_former_export_is_replaced_whole(run: Run, exported: Path, tmp_path: Path) -> None:
    folder, out = tmp_path / "lakes", tmp_path / "out"
    shutil.copytree(LAKES, folder)
    shutil.copytree(exported, out)
    with (folder / "gear.csv").open("a", encoding="utf-8") as file:
        file.write("one-more,One more,other,7\n")
    shutil.rmtree(folder / "trips" / "2024-06-islands")
    assert run("export", out, folder)[0] == 0
    assert "one-more" in set(by_pandas(out, "gear")["item"])
    assert not (out / "records" / "carried" / "season=2024-summer").exists()
    assert [path.name for path in tmp_path.iterdir() if path.name not in ("lakes", "out")] == []


FOREIGN = {
    "a file of one's own": lambda out: (out / "notes.txt").write_text("mine"),
    "a file in a folder of it": lambda out: (out / "records" / "mine.parquet").write_bytes(b"x"),
    "a changed description": lambda out: (out / PACKAGE_FILE).write_text("{}"),
    "a changed table": lambda out: (out / "records" / "gear.parquet").write_bytes(b"mine"),
    "a table changed in place": lambda out: turned(out / "records" / "gear.parquet"),
    "a link": lambda out: (out / "records" / "link").symlink_to(out),
    "an empty folder": lambda out: (out / "photos" / "2026").mkdir(parents=True),
}


def turned(path: Path) -> None:
    """Change a byte in the middle of a file, which keeps its size."""
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)


@pytest.mark.parametrize("case", FOREIGN)
def test_what_a_person_put_there_is_never_lost(
    run: Run, exported: Path, lakes: Path, tmp_path: Path, case: str, tables_at_hand: None
) -> None:
    out = tmp_path / "out"
    shutil.copytree(exported, out)
    FOREIGN[case](out)
    before = in_folder(out)
    status, _, err = run("export", out, lakes)
    assert status == 1
    assert err.startswith(f"tarebook: {out}: holds other things than an export: ")
    assert err.endswith("; name another folder, or move it aside with --force\n")
    assert in_folder(out) == before
    status, told, _ = run("export", out, lakes, "--force")
    assert status == 0
    assert told.splitlines()[0] == f"{out}: what it held is now in {out}.before"
    assert in_folder(tmp_path / "out.before") == before
    assert in_folder(out) == in_folder(exported)
    (out / "more.txt").write_text("mine, too")
    assert run("export", out, lakes, "--force")[0] == 0
    assert (tmp_path / "out.before-2" / "more.txt").read_text() == "mine, too"
    assert in_folder(tmp_path / "out.before") == before


def test_a_folder_that_cannot_be_looked_into_is_not_taken_for_ours(
    run: Run, exported: Path, lakes: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, listing = tmp_path / "out", os.scandir
    shutil.copytree(exported, out)
    (out / "closed").mkdir()
    (out / "closed" / "mine.txt").write_text("mine")

    def closed(path: Any) -> Any:
        if str(path).endswith("closed"):
            raise PermissionError(13, "Permission denied", str(path))
        return listing(path)

    monkeypatch.setattr(os, "scandir", closed)
    for more in ([], ["--force"]):
        status, _, err = run("export", out, lakes, *more)
        wanted = f"tarebook: {out}: cannot be written (closed: Permission denied)\n"
        assert (status, err) == (1, wanted)
    monkeypatch.undo()
    assert (out / "closed" / "mine.txt").read_text() == "mine"


def test_what_a_logbook_reads_by_links_is_no_place_for_an_export(run: Run, tmp_path: Path) -> None:
    book, far = tmp_path / "book", tmp_path / "far"
    new_logbook(book)
    (far / "kept").mkdir(parents=True)
    (far / "trips").mkdir()
    (book / "trips").symlink_to(far / "trips")
    (far / "kept" / "river").mkdir()
    (far / "trips" / "river").symlink_to(far / "kept" / "river")
    (book / "gear.csv").rename(far / "kept" / "gear.csv")
    (book / "gear.csv").symlink_to(far / "kept" / "gear.csv")
    (far / "notes").mkdir()
    (far / "notes" / "days.csv").write_text("day\n")
    (far / "kept" / "river" / "day_notes.csv").symlink_to(far / "notes" / "days.csv")
    holding = [far, far / "kept", far / "trips", far / "kept" / "river", far / "notes"]
    for out in (*holding, far / "trips" / "new", far / "kept" / "river" / "new"):
        status, _, err = run("export", out, book, "--force")
        assert status == 1, out
        assert "logbook" in err
    assert (far / "kept" / "gear.csv").is_file()
    (book / "trips" / "round").symlink_to(book / "trips" / "round")
    (book / "my.exports").symlink_to(far / "kept" / "out")
    for _ in range(2):
        assert run("export", book / "my.exports", book)[0] == 0
    assert (far / "kept" / "out" / PACKAGE_FILE).is_file()


def test_a_place_that_cannot_be_is_told_in_few_words(run: Run, lakes: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    (tmp_path / "round").symlink_to(tmp_path / "round")
    wanted = {
        "file/out": "cannot be written (file is a file, no folder)",
        "x" * 300: "cannot be written (File name too long)",
        "round": "cannot be written (its links lead in a circle)",
    }
    for name, told in wanted.items():
        out = tmp_path / name
        assert run("export", out, lakes) == (1, "", f"tarebook: {out}: {told}\n")
    assert run("export", tmp_path / ("x" * 245), lakes)[0] == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["file", "round", "x" * 245]


def test_a_logbook_is_no_place_for_an_export(
    run: Run, lakes: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "book"
    new_logbook(folder)
    shutil.copytree(LAKES, tmp_path / "other")
    before = in_folder(folder)
    for out in (folder, tmp_path, folder / "trips" / "x", folder / ".tarebook", folder / "reports"):
        assert run("export", out, folder, "--force")[0] == 1
    # Another logbook, whose own package is as the program drew it, is no former export either.
    status, _, err = run("export", folder, lakes)
    assert (status, "holds other things than an export" in err) == (1, True)
    monkeypatch.chdir(tmp_path / "other")
    assert run("export", ".", lakes, "--force")[0] == 1
    assert run("export", tmp_path / "other" / "gear.csv", lakes)[0] == 1
    kept = {n: b for n, b in in_folder(folder).items() if not n.startswith(".tarebook")}
    assert kept == {n: b for n, b in before.items() if not n.startswith(".tarebook")}
    assert run("export", folder / "export", folder)[0] == 0
    assert run("check", folder)[0] == 0


KILLED = """
import os, shutil, sys
from pathlib import Path
from tarebook.notebooks.export.placing import put_whole
seen = []
def watch(event, args):
    changes = ("os.rename", "os.remove", "os.mkdir", "os.rmdir")
    if event in changes or event == "open" and str(Path(sys.argv[1]).parent) in str(args):
        seen.append(event)
        if len(seen) == int(sys.argv[3]):
            os.kill(os.getpid(), 9)
sys.addaudithook(watch)
with put_whole(Path(sys.argv[1])) as work:
    shutil.copytree(sys.argv[2], work.folder, dirs_exist_ok=True)
print(*seen)
"""


def state_after(out: Path, beside: Path, former: dict[str, bytes]) -> str:
    """Where a killed command left the former export, and what lies beside it."""
    held, there = in_folder(out), [p for p in out.parent.iterdir() if p not in (out, beside)]
    name = "former" if held == former else "new" if held else "nothing"
    left = "former too" if any((p / "former").exists() for p in there) else "more"
    return f"{name}, {left}" if there else name


@pytest.mark.skipif(os.name != "posix", reason="signals of a POSIX system")
def test_killed_anywhere_nothing_is_lost_and_the_next_export_leaves_nothing_beside_it(
    exported: Path, tmp_path: Path, run: Run
) -> None:
    book, out = tmp_path / "book", tmp_path / "o" / "out"
    theirs = out.parent / ".out.2023.part"
    theirs.mkdir(parents=True)
    (theirs / "photo.jpg").write_bytes(b"mine")
    new_logbook(book)
    assert run("export", tmp_path / "wanted", book)[0] == 0
    former, wanted = in_folder(exported), in_folder(tmp_path / "wanted")
    assert wanted != former

    def killed_at(step: int) -> tuple[int, list[str]]:
        shutil.rmtree(out, ignore_errors=True)
        shutil.copytree(exported, out)
        command = [sys.executable, "-c", KILLED, str(out), str(tmp_path / "wanted"), str(step)]
        done = subprocess.run(command, timeout=60, check=False, stdout=subprocess.PIPE, text=True)
        return done.returncode, done.stdout.split()

    seen: Counter[str] = Counter()
    status, events = killed_at(0)
    assert (status, in_folder(out)) == (0, wanted)
    moves = [step for step, event in enumerate(events, 1) if event == "os.rename"]
    assert len(moves) == 2
    near = {step + by for step in (1, *moves, len(events)) for by in range(-3, 4)}
    steps = near.intersection(range(1, len(events) + 1)) | set(range(1, len(events), 25))
    for step in sorted(steps):
        assert killed_at(step)[0] == -9
        held = in_folder(out)
        assert held in (former, wanted, {}), step
        seen[state_after(out, theirs, former)] += 1
        with pytest.raises(KeyError), placing.put_whole(out):
            raise KeyError("full")
        assert in_folder(out) == (held or former), step
        with placing.put_whole(out) as work:
            shutil.copytree(tmp_path / "wanted", work.folder, dirs_exist_ok=True)
        assert in_folder(out) == wanted
        assert sorted(path.name for path in out.parent.iterdir()) == [theirs.name, "out"], step
    assert in_folder(theirs) == {"photo.jpg": b"mine"}
    assert seen.keys() >= {"former", "former, more", "nothing, former too"}, seen
    assert seen.keys() >= {"new, former too", "new, more"}, seen


def test_a_new_logbook_has_every_table_with_its_columns(run: Run, tmp_path: Path) -> None:
    book, out = tmp_path / "book", tmp_path / "out"
    new_logbook(book)
    assert run("export", out, book)[0] == 0
    for name in OUTGOING.keys() - NEEDS_OPTIONS:
        frame = by_pandas(out, name)
        assert len(frame.columns) == len(OUTGOING[name].filed) + OUTGOING[name].by_season
        if OUTGOING[name].by_season or OUTGOING[name].folder == "records":
            assert frame.empty


def test_names_with_odd_letters_and_blank_cells_come_back(run: Run, tmp_path: Path) -> None:
    names = {
        "a": 'Tarp, 2.4 by 3 m; "old" % = ?',
        "häkchen": "Pöt\u2028ü \U0001f525\tx",
        "ложка": "' OR 1=1 --",
        "b": "nan",
        "c": "NULL",
    }
    book, out = tmp_path / "bö ok%20", tmp_path / "öut put=1"
    new_logbook(book)
    with (book / "gear.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["item", "name", "system", "weight_g", "bought_on"])
        writer.writerows([item, name, "other", "", ""] for item, name in names.items())
    (book / "trip.csv").write_text(
        "trip,start_on,end_on,latitude\nsüd,2025-12-31,2026-01-02,-40\nnord,2025-12-31,2026-01-02,\n",
        encoding="utf-8",
    )
    (book / "carried.csv").write_text("trip,item\nsüd,ложка\nnord,a\n", encoding="utf-8")
    assert run("export", out, book)[0] == 0
    gear = by_pandas(out, "gear").set_index("item")
    assert gear["name"].to_dict() == names
    assert gear["bought_on"].isna().all()
    assert gear["weight_mg"].isna().all()
    assert dict(by_duckdb(out, "gear").select("item", "name").fetchall()) == names
    # The last of December is of the next year's winter, south of the equator of its summer.
    seasons = {("süd", "2026-summer"), ("nord", "2026-winter")}
    assert set(by_duckdb(out, "carried").select("trip", "season").fetchall()) == seasons
    assert {tuple(map(str, row)) for row in by_pandas(out, "trips")[["trip", "season"]].values} == (
        seasons
    )


@pytest.mark.parametrize("size", [1, 7, 1000])
def test_the_bytes_do_not_hang_on_how_rows_come_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: int
) -> None:
    monkeypatch.setattr(parquet_files, "ROWS_A_GROUP", 10)
    trips = [f"trip-{n % 3}" for n in range(95)]
    rows = pa.table({"trip": trips, "n": list(range(95))})
    seasons = {"trip-0": "2026 summer", "trip-1": "2026 winter", "trip-2": "2026 summer"}
    for name, batches in (("whole", rows.to_batches()), ("cut", rows.to_batches(size))):
        write_parts(batches, rows.schema, tmp_path / name, "t", seasons)
    assert in_folder(tmp_path / "cut") == in_folder(tmp_path / "whole")
    for season in ("2026 summer", "2026 winter"):
        wanted = [n for n, trip in enumerate(trips) if seasons[trip] == season]
        folder = season.replace(" ", "-")
        file = pq.ParquetFile(tmp_path / "cut" / "t" / f"season={folder}" / "part-0.parquet")
        assert file.read().column("n").to_pylist() == wanted
        groups = [file.metadata.row_group(i).num_rows for i in range(file.num_row_groups)]
        assert groups == [10] * (len(wanted) // 10) + [len(wanted) % 10] * (len(wanted) % 10 > 0)


def test_a_fault_while_it_moves_puts_the_former_export_back(
    exported: Path,
    lakes: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    run: Run,
    tables_at_hand: None,
) -> None:
    out = tmp_path / "out"
    shutil.copytree(exported, out)
    move, moves = Path.replace, Counter[str]()

    def fails(self: Path, target: Path) -> Path:
        moves["all"] += 1
        if target == out and moves["all"] == 2:
            raise OSError(28, "No space left on device")
        return move(self, target)

    monkeypatch.setattr(placing.Path, "replace", fails)
    status, _, err = run("export", out, lakes)
    assert (status, err) == (1, f"tarebook: {out}: cannot be written (No space left on device)\n")
    assert in_folder(out) == in_folder(exported)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_sizes_in_the_package_are_those_of_the_files(exported: Path) -> None:
    for resource in described(exported)["resources"]:
        for file in resource["files"]:
            path = exported / file["path"]
            assert path.stat().st_size == file["bytes"]
            assert pq.ParquetFile(path).metadata.num_rows == file["rows"]
