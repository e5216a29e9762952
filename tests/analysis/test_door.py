"""The Python door: what it opens, what it gives, and what it refuses."""

import doctest
import importlib
import re
import shutil
import subprocess
import sys
import warnings
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from tarebook.analysis import Logbook, LogbookWarning, open_logbook
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.demo import write_demo
from tarebook.tripdata.errors import LogbookError, QuestionError, TarebookError

DTYPES = {
    "text": "string",
    "whole": "Int64",
    "number": "float64",
    "flag": "boolean",
    "date": "datetime64[s]",
}
PLACE = {"latitude": 37.6, "longitude": -122.4, "elevation_m": 5.0, "below_c": 0.0}
NEEDED = {"outlook": {**PLACE, "start_on": "2027-01-15", "end_on": "2027-01-17"}}
"""What a table cannot be asked for without."""


@pytest.fixture(scope="module")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo logbook under the name that the examples in the documentation give it."""
    folder = tmp_path_factory.mktemp("door") / "tarebook-demo"
    folder.mkdir()
    write_demo(folder)
    open_logbook(folder).close()
    return folder


@pytest.fixture(scope="module")
def book(logbook: Callable[[str], Path]) -> Iterator[Logbook]:
    """A small logbook that has something of everything."""
    with open_logbook(logbook("lakes"), warn=False) as opened:
        yield opened


def write_bare(folder: Path) -> Path:
    """A logbook with the required columns and not a cell more."""
    write(folder, "gear.csv", "item,system,weight_g", "tent,shelter,", "quilt,sleep,", "cup,cook,")
    write(folder, "trip.csv", "trip,start_on,end_on", "one,2026-05-01,2026-05-03")
    write(folder, "carried.csv", "trip,item", "one,tent", "one,quilt")
    return folder


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    return write_bare(tmp_path / "bare")


@pytest.fixture(scope="module")
def bare_book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Logbook]:
    with open_logbook(write_bare(tmp_path_factory.mktemp("door") / "bare")) as opened:
        yield opened


def write(folder: Path, name: str, *lines: str) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_the_package_stays_light_until_a_logbook_is_opened() -> None:
    code = (
        "import sys, tarebook.analysis\n"
        "from tarebook.analysis import open_logbook\n"
        "print([n for n in ('pandas', 'numpy', 'duckdb', 'altair', 'pyarrow') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_what_the_package_does_not_have_is_an_attribute_error() -> None:
    package = importlib.import_module("tarebook.analysis")
    with pytest.raises(AttributeError, match="no attribute 'open_logbok'"):
        _ = package.open_logbok


@pytest.mark.parametrize("module", ["tarebook.analysis", "tarebook.analysis.door"])
def test_the_examples_in_the_documentation_run(
    module: str, demo_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(demo_folder.parent)
    done = doctest.testmod(importlib.import_module(module))
    assert done.attempted > 1
    assert done.failed == 0


def test_help_tells_of_everything_there_is_to_ask() -> None:
    import pydoc

    page = pydoc.plain(pydoc.render_doc(importlib.import_module("tarebook.analysis")))
    assert "open_logbook(folder: 'str | os.PathLike[str] | None' = None" in page
    public = [name for name in vars(Logbook) if not name.startswith("_")]
    for name in public:
        assert (getattr(Logbook, name).__doc__ or "").strip(), name
    asked = ("trips", "items", "nights", "table", "tables", "columns", "sql")
    for name in asked:
        assert f"book.{name}(" in (Logbook.__doc__ or "")
    for name in ("open_logbook", "Logbook.table", "Logbook.columns", "Logbook.sql"):
        target: Any = importlib.import_module("tarebook.analysis.door")
        for part in name.split("."):
            target = getattr(target, part)
        assert "Raises" in target.__doc__, name
        assert ">>> " in target.__doc__, name


def test_the_logbook_is_that_of_the_environment_else_the_current_folder(
    logbook: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("TAREBOOK_LOGBOOK", str(logbook("lakes")))
    with open_logbook(warn=False) as opened:
        assert opened.display.mass == "g"
        assert opened.settings["display.mass"] == "g"
        assert opened.folder == logbook("lakes")
    monkeypatch.delenv("TAREBOOK_LOGBOOK")
    monkeypatch.chdir(logbook("lakes"))
    with open_logbook(warn=False) as opened:
        assert opened.trips().attrs["table"] == "trips"
    monkeypatch.chdir(tmp_path)
    with pytest.raises(LogbookError):
        open_logbook()
    with pytest.raises(LogbookError, match="nowhere"):
        open_logbook("nowhere")


def test_a_home_is_found_by_its_sign(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(bare.parent))
    assert open_logbook("~/bare").folder == bare


def test_a_store_that_lags_behind_its_files_is_built_anew(bare: Path) -> None:
    # The first book stays open: a process that has an older store open must see the new one.
    before = open_logbook(bare)
    assert before.trips()["base_g"].isna().all()
    write(bare, "gear.csv", "item,system,weight_g", "tent,shelter,900", "quilt,sleep,700")
    with open_logbook(bare) as after:
        assert after.trips()["base_g"].tolist() == [1600.0]
        assert before.trips()["base_g"].isna().all()
        with open_logbook(bare) as again:
            assert again.trips()["base_g"].tolist() == [1600.0]


def test_a_broken_store_is_made_good_and_told(bare: Path) -> None:
    open_logbook(bare).close()
    (bare / ".tarebook" / "store.duckdb").write_bytes(b"nothing of ours")
    with pytest.warns(LogbookWarning, match="did not look as this program left it"):
        open_logbook(bare)


def test_what_was_set_aside_is_counted_and_warned_of(bare: Path) -> None:
    write(bare, "carried.csv", "trip,item", "one,tent", "one,tnet")
    with pytest.warns(LogbookWarning) as told:
        opened = open_logbook(bare)
    assert [str(each.message) for each in told] == [
        "1 record set aside; `tarebook check` says where and why"
    ]
    assert told[0].filename == __file__
    assert (opened.set_aside, opened.unreadable) == (1, 0)
    assert opened.table("set_aside")["nearest"].tolist() == ["tent"]
    assert "1 record set aside" in repr(opened)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert open_logbook(bare, warn=False).set_aside == 1


def test_it_serves_with_a_block_and_without(bare: Path) -> None:
    opened = open_logbook(bare)
    with opened as same:
        assert same is opened
        kept = opened.items()
    assert len(kept) == 2
    assert repr(opened) == "Logbook bare (closed)"
    opened.close()
    for ask in (opened.trips, lambda: opened.sql("SELECT 1 AS n"), lambda: opened.settings):
        with pytest.raises(QuestionError, match="was closed; open it again with open_logbook"):
            ask()


def test_it_shows_what_it_is_without_a_path(bare: Path) -> None:
    opened = open_logbook(bare)
    shown = "1 trip, 2 nights, no plans, 3 things in gear.csv. book.tables() lists what there is"
    assert repr(opened) == f"Logbook bare: {shown} to ask."
    assert opened._repr_html_() == f"<p><strong>Logbook bare</strong><br>{shown} to ask.</p>"


def test_a_folder_may_have_any_name(bare: Path) -> None:
    odd = bare.with_name("it's <b>odd & [x]? *; --")
    shutil.copytree(bare, odd)
    with open_logbook(odd) as opened:
        assert len(opened.trips()) == 1
        assert "it&#x27;s &lt;b&gt;odd &amp; [x]?" in opened._repr_html_()


def test_the_tables_are_those_that_the_command_line_has(book: Logbook) -> None:
    tables = book.tables()
    assert tables["name"].tolist() == list(TABLES)
    assert (tables["a_row_is"].str.len() > 0).all()
    usage = tables.set_index("name").loc["usage"]
    assert "since" in usage["options"].split(", ")
    for name, known in zip(tables["name"], tables["in_sql"], strict=True):
        if not pd.isna(known):
            counted = book.sql(f"SELECT count(*) AS n FROM {known}")["n"][0]
            assert counted == len(book.table(name))


@pytest.mark.parametrize("name", list(TABLES))
def test_every_table_is_a_typed_frame_with_its_units(book: Logbook, name: str) -> None:
    frame = book.table(name, **NEEDED.get(name, {}))
    columns = book.columns(name)
    assert list(frame.columns) == columns["name"].tolist()
    assert [str(dtype) for dtype in frame.dtypes] == [DTYPES[kind] for kind in columns["kind"]]
    assert frame.attrs["table"] == name
    assert frame.attrs["units"] == dict(zip(columns["name"], columns["unit"], strict=True))
    assert frame.attrs["meanings"] == dict(zip(columns["name"], columns["meaning"], strict=True))
    missing = frame.isna().any()
    never = columns.loc[~columns["may_be_missing"], "name"]
    assert not missing[list(never)].any()


@pytest.mark.parametrize("name", list(TABLES))
def test_every_table_answers_where_all_that_is_optional_is_blank(
    bare_book: Logbook, name: str
) -> None:
    frame = bare_book.table(name, **NEEDED.get(name, {}))
    kinds = bare_book.columns(name)["kind"]
    assert [str(dtype) for dtype in frame.dtypes] == [DTYPES[kind] for kind in kinds]


def test_short_ways_are_the_tables_of_that_name(book: Logbook) -> None:
    for name in ("trips", "items", "nights"):
        pd.testing.assert_frame_equal(getattr(book, name)(), book.table(name))


def test_options_take_days_as_days_and_as_text(book: Logbook) -> None:
    asked = book.table("usage", since="2025-01-01", mode="bike")
    for since in (date(2025, 1, 1), pd.Timestamp("2025-01-01")):
        pd.testing.assert_frame_equal(book.table("usage", since=since, mode="bike"), asked)
    assert len(asked) < len(book.table("usage", since=None))


def test_what_must_be_known_with_the_rows_comes_along(book: Logbook) -> None:
    remarks = book.table("outlook", **NEEDED["outlook"]).attrs["remarks"]
    assert any("Hypothermia" in remark or "cold" in remark.lower() for remark in remarks)
    assert book.trips().attrs["remarks"] == []


WRONG = {
    "a table": (lambda b: b.table("usge"), r'got "usge"; did you mean "?usage"?'),
    "columns of a table": (lambda b: b.columns("nigths"), 'did you mean "?nights"?'),
    "an option": (lambda b: b.table("usage", sinse="2025-01-01"), "sinse.*since"),
    "no text": (lambda b: b.columns(3), "expected the name of a table as text, got int"),
    "a trip to come": (
        lambda b: b.table("usage", coming="x"),
        'coming: expected a trip of this logbook, got "x"; the table "trips" lists them all',
    ),
    "an option of another table": (lambda b: b.table("trips", mode="foot"), "mode"),
    "a day": (lambda b: b.table("usage", since="1.5.2026"), "since: expected a day as YYYY-MM-DD"),
    "a kind": (lambda b: b.table("cull", save_g="much"), "save_g: expected a number"),
    "a mode": (lambda b: b.table("usage", mode="bkie"), 'did you mean "bike"'),
    "two that exclude": (lambda b: b.table("cull", save_g=1, target_g=1), "not both"),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_what_is_asked_wrongly_is_told_in_one_line(book: Logbook, wrong: str) -> None:
    ask, message = WRONG[wrong]
    with pytest.raises(QuestionError, match=message) as told:
        ask(book)
    assert "\n" not in str(told.value)


def test_sql_gives_typed_frames(book: Logbook) -> None:
    frame = book.sql(
        """
        SELECT sum(nights) AS whole, 1.25 AS decimal, CAST(1 AS TINYINT) AS tiny,
          CAST(.5 AS FLOAT) AS short, true AS flag, 'a' AS "text", DATE '2026-05-01' AS day,
          TIMESTAMP '2026-05-01 10:00:00' AS moment, CAST(1e30 AS HUGEINT) AS huge,
          CAST('a' AS ENUM ('a', 'b')) AS choice
        FROM trips
        """
    )
    assert {name: str(dtype) for name, dtype in frame.dtypes.items()} == {
        "whole": "Int64",
        "decimal": "float64",
        "tiny": "Int64",
        "short": "float64",
        "flag": "boolean",
        "text": "string",
        "day": "datetime64[s]",
        "moment": "datetime64[us]",
        "huge": "float64",
        "choice": "string",
    }
    assert frame["whole"][0] == book.trips()["nights"].sum()
    assert frame["decimal"][0] == 1.25
    empty = book.sql("SELECT sum(nights) AS nights FROM trips WHERE false")
    assert empty["nights"].isna().all()


def test_sql_binds_values_of_python_numpy_and_pandas(book: Logbook) -> None:
    trips = book.trips()
    some = trips["trip"].head(3)
    query = "SELECT trip FROM trips WHERE trip = ANY($names) ORDER BY trip"
    for names in (some.tolist(), some.to_numpy(), some):
        assert book.sql(query, names=names)["trip"].tolist() == some.tolist()
    query = "SELECT $a AS a, $b AS b, $c AS c, $d AS d"
    row = book.sql(query, a=np.int64(3), b=pd.NA, c=pd.Timestamp("2026-05-01"), d=np.float64(0.5))
    assert row["a"][0] == 3
    assert pd.isna(row["b"][0])
    assert row["c"][0] == pd.Timestamp("2026-05-01")
    assert row["d"][0] == 0.5
    # What is bound is a value, whatever stands in it; and no name is taken.
    assert book.sql("SELECT $query AS t", query="'; DROP TABLE gear; --")["t"][0].startswith("';")


ONE_SELECT = "expected one SELECT and nothing beside it; the files of the logbook are changed in an"
LOGBOOK_ONLY = "only the logbook can be read here, no other file or address"
REFUSED: dict[str, str] = {
    "": ONE_SELECT,
    "SELECT 1 AS n; SELECT 2 AS n": ONE_SELECT,
    "DELETE FROM gear": ONE_SELECT,
    "CREATE TEMP TABLE mine AS SELECT 1 AS n": ONE_SELECT,
    "WITH w AS (DELETE FROM gear RETURNING item) SELECT * FROM w": ONE_SELECT,
    "WITH w AS (DELETE FROM memory.kept.trips RETURNING trip) SELECT * FROM w": ONE_SELECT,
    "ATTACH 'other.duckdb' AS other": ONE_SELECT,
    "SET enable_external_access = true": ONE_SELECT,
    "INSTALL httpfs": ONE_SELECT,
    "COPY gear TO 'gear.csv'": ONE_SELECT,
    "SELECT * FROM read_text('/etc/hostname')": LOGBOOK_ONLY,
    "SELECT * FROM glob('/etc/*')": LOGBOOK_ONLY,
    "SELECT * FROM '/etc/hostname.csv'": LOGBOOK_ONLY,
    "SELECT * FROM read_csv('https://example.org/x.csv')": LOGBOOK_ONLY,
    # Functions of a SELECT that change settings: they print, write or end the process.
    "SELECT * FROM enable_logging(storage='file', storage_path='log')": "locked",
    "SELECT * FROM enable_logging('QueryLog', storage='stdout')": "locked",
    "SELECT * FROM enable_profiling()": "locked",
    "SELECT * FROM enable_profiling(save_location='profile')": "locked",
    "SELECT * FROM some_frame": "some_frame does not exist",
    "SELECT * FROM tripz": "tripz does not exist.*Did you mean.*book.tables\\(\\) lists",
    "SELECT * FROM Usage": r'^sql: usage is worked out and not in the store; book.table\("usage"\)',
    "SELECT low FROM nights": 'column "low" not found.*"low_c"',
    "SELEC 1": 'syntax error at or near "SELEC"',
    "SELECT trip, trip FROM trips": "two columns are called trip; name them apart with AS",
    "SELECT $low": r"no value for \$low; give low=",
    "SELECT ?": r"expected named parameters such as \$low",
    "SELECT CAST('a' AS INTEGER) AS n": "Could not convert string 'a'",
}


@pytest.mark.parametrize("query", REFUSED)
def test_sql_refuses_in_one_line(
    book: Logbook, query: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    some_frame = pd.DataFrame({"n": [1]})
    with pytest.raises(QuestionError, match=REFUSED[query]) as told:
        book.sql(query)
    assert len(some_frame) == 1
    assert re.fullmatch(r"sql: [^\n]+", str(told.value))
    assert list(tmp_path.iterdir()) == []
    assert len(book.sql("SELECT 1 AS n")) == 1


def test_sql_wants_text_and_only_values_that_it_uses(book: Logbook) -> None:
    with pytest.raises(QuestionError, match="sql: expected text, got int"):
        book.sql(3)  # type: ignore[arg-type]
    with pytest.raises(QuestionError, match=r"sql: low is not in the query; write \$low there"):
        book.sql("SELECT 1 AS n", low=1)
    with pytest.raises(QuestionError, match="sql: "):
        book.sql("SELECT $thing AS n", thing=object())


def test_nothing_is_left_beside_the_logbook(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    work = bare.parent / "work"
    work.mkdir()
    monkeypatch.chdir(work)
    with open_logbook(bare) as opened:
        opened.sql("SELECT * FROM trips ORDER BY ALL")
        spill = opened.store.sql("SELECT current_setting('temp_directory')").fetchall()
    assert spill == [(str(bare / ".tarebook" / "store.duckdb.tmp"),)]
    assert list(work.iterdir()) == []
    assert sorted(p.name for p in bare.iterdir() if p.suffix != ".csv") == [".tarebook"]


def test_a_person_can_catch_all_of_it_by_one_name(bare: Path) -> None:
    with open_logbook(bare) as opened, pytest.raises(TarebookError):
        opened.table("no such table")
