"""The command line as a person meets it: what it prints, where, and its exit status."""

import csv
import io
import json
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import duckdb
import pytest
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.store import load_logbook, store_path

LOGBOOKS = Path(__file__).parents[1] / "logbooks"
COMMANDS = ("demo", "new", "check", "load", "report", "table", "log", "track", "lab")

Run = Callable[..., tuple[int, str, str]]


def copy(name: str, tmp_path: Path) -> Path:
    folder = tmp_path / name
    shutil.copytree(LOGBOOKS / name, folder)
    return folder


def test_help_names_every_command_and_each_has_help_with_an_example(run: Run) -> None:
    status, out, _ = run("--help")
    assert status == 0
    for command in COMMANDS:
        assert f"\n  {command} " in out
        status, own, _ = run(command, "--help")
        assert status == 0
        assert "Example: tarebook" in own


def test_version(run: Run) -> None:
    from tarebook.tripdata.version import VERSION

    assert run("--version") == (0, f"tarebook {VERSION}\n", "")


def test_load_prints_the_sum_and_is_quiet_where_all_is_well(run: Run, tmp_path: Path) -> None:
    status, out, err = run("load", copy("lakes", tmp_path))
    assert (status, err) == (0, "")
    assert out.splitlines()[-1].split() == ["in", "all", "239", "239", "0"]


def test_load_with_mistakes_ends_with_1_and_words_each(run: Run, tmp_path: Path) -> None:
    status, out, err = run("load", copy("spreadsheets", tmp_path))
    assert status == 1
    assert out.splitlines()[-1].split() == ["in", "all", "55", "37", "18"]
    assert (
        'trips/2026-07-fjord/carried.csv:13: item: expected an item of gear.csv, got "wistle"; '
        'did you mean "whistle"?'
    ) in err.splitlines()


def test_check_stores_nothing(run: Run, tmp_path: Path) -> None:
    folder = copy("spreadsheets", tmp_path)
    before = sorted(folder.rglob("*"))
    status, out, err = run("check", folder)
    assert (status, err) == (1, "")
    assert "gear.csv:16: item: " in out
    assert sorted(folder.rglob("*")) == before


def test_check_as_json_has_the_agreed_shape(run: Run, tmp_path: Path) -> None:
    status, out, _ = run("check", copy("spreadsheets", tmp_path), "--json")
    found = json.loads(out)
    assert status == 1
    counts = ["file", "read", "loaded", "set_aside", "unreadable", "laid_out"]
    for file in found["files"]:
        assert list(file) == counts
        assert file["read"] == file["loaded"] + file["set_aside"]
    keys = ["file", "line", "column", "value", "problem", "nearest"]
    assert all(list(p) == keys for p in found["problems"])
    typo = next(p for p in found["problems"] if p["value"] == "wistle")
    assert typo["file"] == "trips/2026-07-fjord/carried.csv"
    assert (typo["line"], typo["column"], typo["nearest"]) == (13, "item", "whistle")


def test_the_environment_names_the_logbook(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TAREBOOK_LOGBOOK", str(copy("lakes", tmp_path)))
    status, out, _ = run("check")
    assert (status, out.splitlines()[-1].split()[2]) == (0, "239")


def test_the_current_folder_is_the_logbook_by_default(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(copy("lakes", tmp_path))
    assert run("check")[0] == 0


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["check", "no-such-folder"], 2),
        (["frobnicate"], 2),
        (["table"], 2),
        (["table", "trips", "--as", "xml"], 2),
        (["new", "x", "--like", "y"], 2),
    ],
)
def test_a_wrong_command_line_ends_with_2(
    run: Run, words: list[str], status: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(*words)[0] == status


def test_a_folder_without_gear_is_told_in_one_line(run: Run, tmp_path: Path) -> None:
    for command in (["check"], ["load"], ["table", "trips"], ["report", "debrief"]):
        status, out, err = run(*command, tmp_path)
        assert (status, out) == (1, "")
        assert err == (
            f"tarebook: {tmp_path}: no gear.csv here; is this a logbook? "
            "`tarebook new DIR` makes an empty one\n"
        )


def test_an_unknown_table_names_the_nearest(run: Run, tmp_path: Path) -> None:
    status, out, err = run("table", "nigths", copy("lakes", tmp_path))
    assert (status, out) == (2, "")
    assert err.endswith(
        ": expected one of trips, trip_systems, items, nights, normals, trip_normals, "
        "set_aside, weigh_up, trip_needs, forgotten, outlook, cold_limits, cold_by_set, usage, "
        "cull, cull_frontier, base_weight, base_weight_trend, base_weight_change, comfort_gain, "
        "next_swap, failure_rates, item_life, effort, buying_case, "
        'got "nigths"; did you mean "nights"?\n'
    )


def test_a_table_in_each_form(run: Run, tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    _, text, _ = run("table", "nights", folder)
    assert text.splitlines()[-1] == "10 rows"
    _, comma, _ = run("table", "nights", folder, "--as", "csv")
    assert comma.splitlines()[3] == "2025-05-ridge,2025-05-09,4.5,logger,,,3,-1,,,,"
    _, objects, _ = run("table", "nights", folder, "--as", "json")
    night = json.loads(objects)[2]
    assert night["night"] == "2025-05-09"
    assert night["normal_low_c"] is None
    out = tmp_path / "nights.parquet"
    assert run("table", "nights", folder, "--as", "parquet", "--out", out) == (0, "", "")
    rows = duckdb.sql(f"SELECT count(*), min(low_c) FROM '{out}'").fetchall()
    assert rows == [(10, -1.0)]


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("n.parquet", "parquet"),
        ("n.CSV", "csv"),
        ("n.json", "json"),
        ("n.text", "text"),
        ("n.txt", "text"),
        ("csv", "text"),
    ],
)
def test_a_file_is_what_its_name_ends_with(run: Run, tmp_path: Path, name: str, form: str) -> None:
    folder = copy("lakes", tmp_path)
    asked = tmp_path / "asked"
    assert run("table", "nights", folder, "--as", form, "--out", asked) == (0, "", "")
    assert run("table", "nights", folder, "--out", tmp_path / name) == (0, "", "")
    assert (tmp_path / name).read_bytes() == asked.read_bytes()
    assert run("table", "nights", folder, "--as", "text", "--out", asked) == (0, "", "")
    assert run("table", "nights", folder, "--as", "text", "--out", tmp_path / name) == (0, "", "")
    assert (tmp_path / name).read_bytes() == asked.read_bytes()


def test_table_answers_with_0_and_one_line_about_what_was_set_aside(
    run: Run, tmp_path: Path
) -> None:
    status, out, err = run("table", "trips", copy("spreadsheets", tmp_path), "--as", "csv")
    assert status == 0
    assert err == "tarebook: 18 records set aside; `tarebook check` says where and why\n"
    assert out.splitlines()[1].startswith("2026-07-fjord,2026-07-03,2026-07-05,2,2026 summer,")


@pytest.mark.parametrize("name", ["usage", "cull", "cull_frontier", "next_swap"])
def test_what_may_stay_at_home_comes_with_a_caution_beside_the_rows(
    run: Run, tmp_path: Path, name: str
) -> None:
    """On stderr, so that what is written for other programs holds the rows alone."""
    folder = copy("lakes", tmp_path)
    for form in ("text", "csv", "json"):
        status, out, err = run("table", name, folder, "--as", form)
        assert (status, err) == (0, f"tarebook: {TABLES[name].caution}\n")
        assert "take it" not in out
        assert "near home" not in out
    status, out, _ = run("table", name, folder, "--as", "csv")
    rows = list(csv.reader(io.StringIO(out)))
    assert rows[0] == list(TABLES[name].column_names)
    assert {len(row) for row in rows} == {len(rows[0])}
    file = tmp_path / "rows.csv"
    status, said, err = run("table", name, folder, "--as", "csv", "--out", file)
    assert (status, said, err) == (0, "", f"tarebook: {TABLES[name].caution}\n")
    assert file.read_text("utf-8") == out
    _, text, _ = run("table", name, "--help")
    assert TABLES[name].caution in " ".join(text.split())


def test_an_unwritable_out_file_is_one_line(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "no" / "such" / "x.csv"
    status, _, err = run("table", "trips", copy("lakes", tmp_path), "--as", "csv", "--out", out)
    assert status == 1
    assert err == f"tarebook: {out}: cannot be written (No such file or directory)\n"


@pytest.mark.parametrize(
    "name",
    [
        "gear.csv",
        "gear-more.csv",
        "trips/2026-05-river/carried.csv",
        "tarebook.toml",
        "normals/new.csv",
        ".tarebook/store.duckdb",
        "trips/../gear.csv",
    ],
)
def test_a_table_is_never_written_over_what_it_is_read_from(
    run: Run, tmp_path: Path, name: str
) -> None:
    folder = copy("lakes", tmp_path)
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    out = folder / name
    status, _, err = run("table", "items", folder, "--as", "csv", "--out", out)
    assert status == 1
    assert err == (
        f"tarebook: {out}: is one of the files that the logbook is read from, so nothing was "
        "written; name another file\n"
    )
    assert {p: p.read_bytes() for p in before} == before
    link = tmp_path / "elsewhere.csv"
    link.symlink_to(out)
    assert run("table", "items", folder, "--as", "csv", "--out", link)[0] == 1
    assert {p: p.read_bytes() for p in before} == before


@pytest.mark.parametrize("form", ["csv", "parquet"])
def test_a_table_goes_through_links_and_into_pipes_and_keeps_the_mode(
    run: Run, tmp_path: Path, form: str
) -> None:
    folder = copy("lakes", tmp_path)
    target, link, pipe = tmp_path / "target", tmp_path / "link", tmp_path / "pipe"
    target.touch()
    target.chmod(0o640)
    link.symlink_to(target)
    assert run("table", "items", folder, "--as", form, "--out", link) == (0, "", "")
    assert link.is_symlink()
    assert target.stat().st_mode & 0o777 == 0o640
    os.mkfifo(pipe)
    read: list[bytes] = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()), daemon=True)
    reader.start()
    assert run("table", "items", folder, "--as", form, "--out", pipe) == (0, "", "")
    reader.join(60)
    assert pipe.is_fifo()
    assert read == [target.read_bytes()]


@pytest.mark.parametrize("form", ["text", "csv", "json", "parquet"])
def test_a_new_table_has_the_mode_of_any_new_file_also_behind_a_link(
    run: Run, tmp_path: Path, form: str
) -> None:
    folder = copy("lakes", tmp_path)
    link, target = tmp_path / "link", tmp_path / "not-there-yet"
    link.symlink_to(target)
    former = os.umask(0o027)
    try:
        assert run("table", "items", folder, "--as", form, "--out", link) == (0, "", "")
    finally:
        os.umask(former)
    assert link.is_symlink()
    assert target.stat().st_mode & 0o777 == 0o640
    assert target.stat().st_size > 100


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
@pytest.mark.parametrize("form", ["text", "csv", "json", "parquet"])
def test_a_device_is_written_to_as_it_is(run: Run, tmp_path: Path, form: str) -> None:
    folder = copy("lakes", tmp_path)
    assert run("table", "items", folder, "--as", form, "--out", "/dev/null") == (0, "", "")
    assert Path("/dev/null").is_char_device()
    assert run("table", "items", folder, "--as", form, "--out", "/dev/full") == (
        1,
        "",
        "tarebook: /dev/full: cannot be written (No space left on device)\n",
    )


@pytest.mark.skipif(not Path("/dev/fd").exists(), reason="streams with a name")
@pytest.mark.parametrize("form", ["text", "csv", "json", "parquet"])
def test_a_stream_is_written_to_by_its_name(tmp_path: Path, form: str) -> None:
    """A pipe behind /dev/fd is a link whose name leads nowhere."""
    folder = copy("lakes", tmp_path)
    reader, writer = os.pipe()
    code = "from tarebook.notebooks.begin import main; main()"
    words = ("table", "items", str(folder), "--as", form, "--out", f"/dev/fd/{writer}")
    done = subprocess.Popen(
        [sys.executable, "-c", code, *words], pass_fds=(writer,), stderr=subprocess.PIPE
    )
    os.close(writer)
    with os.fdopen(reader, "rb") as stream:
        written = stream.read()
    assert (done.communicate(timeout=100)[1], done.returncode) == (b"", 0)
    assert written.startswith(b"PAR1") if form == "parquet" else b"tent" in written.lower()


def test_a_wrong_header_without_records_is_named_and_costs_nothing(
    run: Run, tmp_path: Path
) -> None:
    folder = copy("lakes", tmp_path)
    path = folder / "weighings-more.csv"
    path.write_text("item,weight_g\n")
    line = "weighings-more.csv:1: weighed_on: expected a column weighed_on, and there is none"
    for command in ("check", "load"):
        status, out, err = run(command, folder)
        assert status == 0
        assert line in (out + err).splitlines()
        assert out.splitlines()[-1].split() == ["in", "all", "239", "239", "0"]
    path.write_text("item,weight_g\ntarp,400\n")
    for command in ("check", "load"):
        status, out, err = run(command, folder)
        assert status == 1
        assert out.splitlines()[-1].split() == ["in", "all", "240", "239", "1"]
    path.write_text("")
    assert [run(command, folder)[0] for command in ("check", "load")] == [1, 1]


def test_csv_is_inert_in_a_spreadsheet(run: Run, tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    gear = folder / "gear.csv"
    gear.write_text(gear.read_text().replace("Head torch", "=cmd()").replace("Food,", "+1,"))
    _, out, _ = run("table", "items", folder, "--as", "csv")
    assert "head-torch,'=cmd(),light" in out
    assert "food,'+1,food" in out
    _, objects, _ = run("table", "items", folder, "--as", "json")
    assert '"name": "=cmd()"' in objects


def test_tables_load_first_where_a_file_changed(run: Run, tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    load_logbook(folder)
    path = folder / "trips" / "2026-05-river" / "distances.csv"
    path.write_text("day,distance_km\n2026-05-14,1\n")
    _, out, _ = run("table", "trips", folder, "--as", "json")
    river = next(t for t in json.loads(out) if t["trip"] == "2026-05-river")
    assert river["distance_km"] == 1


def test_a_store_of_another_layout_is_rebuilt(run: Run, tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    load_logbook(folder)
    with duckdb.connect(str(store_path(folder))) as connection:
        connection.execute("UPDATE about SET value = '0' WHERE key = 'layout'")
        connection.execute("DROP TABLE wished")
    status, out, _ = run("table", "trips", folder)
    assert (status, out.splitlines()[-1]) == (0, "6 rows")


def test_folders_named_like_ours_beside_a_logbook_break_nothing(tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    for name in ("tarebook", "tripdata", "analysis", "notebooks", "duckdb", "typer"):
        (folder / name).mkdir()
        (folder / name / "__init__.py").write_text("raise SystemExit('shadowed')")
        (folder / f"{name}.py").write_text("raise SystemExit('shadowed')")
    command = [sys.executable, "-P", "-m", "tarebook.notebooks.cli", "table", "trips"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.splitlines()[-1]) == (0, "6 rows")


def test_an_odd_path_is_a_path_like_any_other(run: Run, tmp_path: Path) -> None:
    odd = tmp_path / 'Åse\'s "log" book; 100% 山'
    shutil.copytree(LOGBOOKS / "lakes", odd)
    assert run("load", odd)[0] == 0
    assert run("table", "trips", odd)[1].splitlines()[-1] == "6 rows"


def test_help_starts_without_the_heavy_packages() -> None:
    code = (
        "import sys; sys.argv = ['tarebook', '--help']\n"
        "from tarebook.notebooks import cli\n"
        "try: cli.main()\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'altair', 'duckdb', 'papermill', 'numpy', 'rich'} & set(sys.modules)\n"
        "print('heavy:', sorted(heavy))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"PYTHONSAFEPATH": "1"},
    )
    assert done.stdout.splitlines()[-1] == "heavy: []"


def test_no_colour_codes_or_progress_where_nobody_watches(run: Run, tmp_path: Path) -> None:
    _, out, err = run("load", copy("spreadsheets", tmp_path))
    assert "\x1b" not in out + err


def test_control_characters_in_names_are_shown_not_sent(run: Run, tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    with (folder / "trips/2026-05-river/carried.csv").open("a") as out:
        out.write("\x1b[2Jtent\x07,1\n")
    _, out_text, _ = run("check", folder)
    assert "\x1b" not in out_text
    assert '"\\x1b[2Jtent\\x07"' in out_text


def test_lab_copies_the_notebooks_once(tmp_path: Path) -> None:
    from tarebook.notebooks.laboratory import copy_notebooks

    folder = copy_notebooks(tmp_path)
    mine = folder / "debrief.ipynb"
    cells = json.loads(mine.read_text())["cells"]
    assert len(cells) > 5
    assert not any(cell.get("outputs") for cell in cells)
    assert (folder / "your_own_questions.ipynb").is_file()
    mine.write_text("changed by hand")
    copy_notebooks(tmp_path)
    assert mine.read_text() == "changed by hand"


def test_the_tables_of_comfort_and_cold_come_as_they_are_asked(run: Run, tmp_path: Path) -> None:
    folder = copy("lakes", tmp_path)
    for name in ("comfort_gain", "next_swap", "cold_limits"):
        status, out, _ = run("table", name, folder, "--as", "json")
        rows = json.loads(out)
        assert (status, bool(rows)) == (0, True)
        assert "NaN" not in out
    assert rows[0]["sleep_system"] == "Air mat;Inflatable pillow;Summer quilt"
    assert rows[0]["own_limit_low_c"] < rows[0]["own_limit_c"] < rows[0]["own_limit_high_c"]
