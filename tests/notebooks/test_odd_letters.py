"""What a person wrote is text: no page, chart or terminal obeys a control or direction mark."""

import csv
import json
import os
import pty
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import reports_read
from tarebook.notebooks import index, page, runner
from tarebook.notebooks.cleaning import node
from tarebook.notebooks.reports import REPORTS
from tarebook.tripdata.contract import BY_NAME
from tarebook.tripdata.demo import write_demo
from tarebook.tripdata.names import printable_json
from tarebook.tripdata.store import load_logbook, open_for_reading, store_path

Run = Callable[..., tuple[int, str, str]]
LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"

_RANGES = "01-0C 0E-1F 7F-9F 61C-61C 200B-200B 200E-200F 2028-202E 2060-206F FEFF-FEFF"
ODD = "".join(
    chr(code)
    for first, last in (ends.split("-") for ends in _RANGES.split())
    for code in range(int(first, 16), int(last, 16) + 1)
)
"""Every control but NUL, which no CSV file may hold, and CR, which ends a line; every separator of
lines, every mark of direction, and what takes no room."""
NEVER = re.compile(f"[\r{re.escape(ODD)}\ud800-\udfff]")
SHOWN = re.compile(f"[\r{re.escape(ODD.replace(chr(10), ''))}\ud800-\udfff]")
"""What stands in no page and on no terminal, where lines do end."""
KINDS = {"text", "group", "names", "words"}
SILENT = ("owner", "carried_by", "station", "currency")
"""Columns of which a blank cell says something else than that there is no text."""
SPECS = re.compile(r'<script type="application/json" class="vega-spec"[^>]*>(.*?)</script>', re.S)


def odd(text: str) -> str:
    """A text as it might come out of a broken program: with all of them in its middle."""
    return f"{text[:2]}{ODD}{text[2:]}"


def spoil(folder: Path) -> set[str]:
    """Put them into every text column of a logbook; returns the columns that it has."""
    spoilt = set()
    for path in folder.rglob("*.csv"):
        table = BY_NAME.get(path.stem)
        if table is None:
            continue
        with path.open(newline="", encoding="utf-8") as file:
            header, *rows = csv.reader(file)
        for column in table.columns:
            if column.kind not in KINDS or column.name not in header:
                continue
            at = header.index(column.name)
            for row in rows:
                if column.kind == "text" and not row[at] and column.name not in SILENT:
                    row[at] = "x and y"
                # Conditions and former names come apart at what is no letter: at their end alone.
                list_of_words = column.kind in ("names", "words")
                row[at] += ODD if list_of_words and row[at] else ""
                if row[at] and not list_of_words and column.name != "station":
                    row[at] = odd(row[at])
            spoilt.add(f"{table.name}.{column.name}")
        with path.open("w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows([header, *rows])
    return spoilt


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("odd") / "book"
    write_demo(folder)
    columns = "gear.name gear.kit gear.note gear.meant_for trip.title trip.place trip.note "
    columns += "carried.bag failures.what wished.what candidates.name"
    assert spoil(folder) >= set(columns.split())
    escaped = json.dumps(odd("My logbook")).replace("\x7f", "\\u007f")
    settings = (folder / "tarebook.toml").read_text("utf-8")
    settings = re.sub('(?m)^title = ".*"$', lambda _: f"title = {escaped}", settings)
    settings = settings.replace("[limits]\n", f"[limits]\n{escaped} = 3000\n")
    assert settings.count(escaped) == 2
    (folder / "tarebook.toml").write_text(settings, "utf-8")
    picture = next(folder.glob("trips/*/*.png"))
    picture.rename(picture.with_name("cover\x1b[31m\u202e\u2028.png"))
    found = load_logbook(folder)
    assert found.clean
    # The limits are of bags that are called otherwise now.
    assert all("limits nothing" in each.problem for each in found.warnings), found.warnings
    return folder


def strings(value: Any) -> Iterator[str]:
    """Every text in a value, keys among them."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, each in value.items():
            yield from strings(key)
            yield from strings(each)
    elif isinstance(value, list | tuple):
        for each in value:
            yield from strings(each)


def check_bundle(name: str, bundle: dict[str, Any]) -> int:
    """Look through what a cell shows; returns how many charts it has."""
    for text in strings(bundle):
        found = SHOWN.search(text)
        assert not found, (name, found and text[max(found.start() - 60, 0) : found.end() + 60])
    specs = [json.loads(spec) for spec in SPECS.findall(bundle.get("text/html", ""))]
    for spec in specs:
        for text in strings(spec):
            assert not NEVER.search(text), (name, text)
    return len(specs)


@pytest.fixture(scope="module")
def made(book: Path) -> dict[str, list[dict[str, Any]]]:
    """What each report shows on that logbook; its drawings are made from the specs alone."""
    return {name: reports_read.shown_by(book, name, drawn=False)[1] for name in REPORTS}


def test_what_was_typed_is_in_the_store_as_it_was_typed(book: Path) -> None:
    with open_for_reading(store_path(book)) as store:
        titles = [title for (title,) in store.execute("SELECT title FROM trip").fetchall()]
    assert titles
    assert all(ODD in title for title in titles)


@pytest.mark.parametrize("name", REPORTS)
def test_no_chart_and_no_page_of_a_report_has_any(
    made: dict[str, list[dict[str, Any]]], name: str
) -> None:
    charts = sum(check_bundle(name, bundle) for bundle in made[name])
    assert charts >= 2, "a wide and a narrow one"


def test_no_first_page_and_no_title_of_a_page_has_any(
    book: Path, made: dict[str, list[dict[str, Any]]], tmp_path: Path
) -> None:
    reports = []
    for name, bundles in made.items():
        notebook = index._notebook("".join(b.get("text/html", "") for b in bundles), odd(name))
        text = page.render(notebook, on=reports_read.TODAY, name=name)
        assert not SHOWN.search(text), name
        shown = runner.findings(node({"cells": [c for b in bundles for c in _cells(b)]}))
        reports.append(runner.Report(name, Path(f"{name}.ipynb"), Path(f"{name}.html"), (), *shown))
    with reports_read.asking_of(book):
        first = index.write(reports, tmp_path, reports_read.TODAY, logbook=book).read_text("utf-8")
    assert not SHOWN.search(first)
    assert re.search(r"My\s+logbook", first)


def _cells(bundle: dict[str, Any]) -> list[dict[str, Any]]:
    output = {"output_type": "display_data", "data": bundle, "metadata": {}}
    return [{"cell_type": "code", "outputs": [output]}]


@pytest.fixture
def lakes(tmp_path: Path) -> Path:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    gear = folder / "gear.csv"
    text = gear.read_text("utf-8").replace("Silnylon tarp 3 x 2 m", f'"Tarp {ODD}x"', 1)
    gear.write_text(text, "utf-8", newline="")
    return folder


@pytest.mark.parametrize("form", ["text", "csv", "json"])
def test_a_terminal_gets_none_and_a_file_what_was_typed(
    lakes: Path, tmp_path: Path, form: str
) -> None:
    ours, theirs = pty.openpty()
    words = ["table", "items", str(lakes), "--as", form]
    script = "from tarebook.notebooks import cli; cli.main()"
    with subprocess.Popen([sys.executable, "-c", script, *words], stdout=theirs) as running:
        os.close(theirs)
        printed = b""
        while chunk := _read(ours):
            printed += chunk
    os.close(ours)
    assert running.returncode == 0
    shown = printed.decode().replace("\r\n", "\n")
    assert "Tarp" in shown
    assert not SHOWN.search(shown)
    out = tmp_path / "out"
    subprocess.run([sys.executable, "-c", script, *words, "--out", str(out)], check=True)
    written = out.read_bytes().decode()
    if form == "csv":
        assert f"Tarp {ODD}x" in written
    elif form == "json":
        assert f"Tarp {ODD}x" in {row["name"] for row in json.loads(written)}
        assert not SHOWN.search(written)


def _read(handle: int) -> bytes:
    try:
        return os.read(handle, 65536)
    except OSError:  # nobody writes to it any more
        return b""


QUOTED = "\x1b[31m\x9b\u202e\u2028"


@pytest.mark.parametrize(
    "words",
    [
        ("check", f"no{QUOTED}"),
        (f"x{QUOTED}",),
        (f"--x{QUOTED}",),
        ("table", f"x{QUOTED}", "BOOK"),
        ("table", "trips", "BOOK", "--as", QUOTED),
        ("table", "trips", "BOOK", f"--z{QUOTED}"),
        ("table", "trips", "BOOK", f"more{QUOTED}"),
        ("table", "trips", f"--as{QUOTED}"),
        ("table", "trips", "BOOK", "--out", f"no{QUOTED}/x"),
        ("table", "weigh_up", "BOOK", "--without", f"w{QUOTED}"),
        ("report", "debrief", "BOOK", "--trip", f"x{QUOTED}"),
        ("new", "BOOK", "--trip", f"x{QUOTED}"),
        ("new", "BOOK", "--trip", "x", "--like", f"x{QUOTED}"),
        ("new", f"x{QUOTED}", "--units", f"x{QUOTED}"),
        ("thermometer", f"x{QUOTED}.csv", "--logbook", "BOOK"),
        ("track", f"x{QUOTED}.gpx", "--trip", "x", "--logbook", "BOOK"),
        ("log", "BOOK", "--trip", f"x{QUOTED}"),
        ("demo", f"FILE{QUOTED}"),
    ],
    ids=lambda words: " ".join(words[:2]).encode("unicode_escape").decode(),
)
def test_no_complaint_passes_on_what_it_quotes(
    run: Run, lakes: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / f"FILE{QUOTED}").write_text("")
    status, out, err = run(*(word.replace("BOOK", str(lakes)) for word in words))
    assert status in (1, 2)
    assert not SHOWN.search(out + err), out + err
    assert "x1b" in err.replace("u001b", "x1b")


def test_names_of_files_and_folders_are_shown_not_sent(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / f"book{QUOTED}"
    shutil.copytree(LAKES, folder)
    (folder / f"gear-{QUOTED}.csv").write_text("a\n1\n")
    (folder / f"odd{QUOTED}.csv").write_text("a\n")
    (folder / f"trips/t{QUOTED}").mkdir()
    (folder / f"trips/t{QUOTED}/carried.csv").write_text("item\ntarp\n")
    for words in (["check"], ["check", "--json"], ["load"], ["table", "set_aside", "--as", "json"]):
        _, out, err = (
            run(*words[:2], folder, *words[2:])
            if words[0] == "table"
            else (run(words[0], folder, *words[1:]))
        )
        assert "x1b" in (out + err).replace("u001b", "x1b")
        assert not SHOWN.search(out + err), words
    _, out, err = run("new", tmp_path / f"new{QUOTED}")
    assert not SHOWN.search(out + err)


def test_json_says_the_same_with_its_odd_letters_escaped() -> None:
    value = {f"a{ODD}": [f"é山{ODD}\ud800", 1.5, None, True]}
    text = printable_json(value)
    assert json.loads(text) == value
    assert not NEVER.search(text)
    assert "é山" in text
    with pytest.raises(ValueError, match="not JSON compliant"):
        printable_json(float("nan"))
