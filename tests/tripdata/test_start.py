"""Starting a logbook and a trip: new files only, and what they hold."""

import csv
import errno
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.contract import BY_NAME
from tarebook.tripdata.errors import LogbookError, QuestionError
from tarebook.tripdata.guide import blank_header, html_page, markdown_reference
from tarebook.tripdata.settings import read_settings
from tarebook.tripdata.start import new_logbook, new_trip
from tarebook.tripdata.store import load_logbook

LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"


@pytest.fixture
def lakes(tmp_path: Path) -> Path:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    load_logbook(folder)
    return folder


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="") as file:
        return list(csv.DictReader(file))


def test_a_new_logbook_is_empty_and_clean(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    made = new_logbook(folder)
    assert made.made == [
        "tarebook.toml",
        "gear.csv",
        "weighings.csv",
        "candidates.csv",
        "trip.csv",
        "columns.html",
        "datapackage.json",
        ".gitignore",
    ]
    findings = load_logbook(folder)
    assert findings.clean
    assert findings.warnings == []
    assert sum(count.read for count in findings.files.values()) == 0


KILLED = """
import os, sys
from pathlib import Path
from tarebook.tripdata.start import new_logbook
left = [int(sys.argv[2])]
def watch(event, args):
    if event in ("open", "os.link", "os.remove", "os.mkdir") and sys.argv[1] in str(args):
        left[0] -= 1
        if not left[0]:
            os.kill(os.getpid(), 9)
sys.addaudithook(watch)
new_logbook(Path(sys.argv[1]))
"""


@pytest.mark.skipif(os.name != "posix", reason="signals of a POSIX system")
def test_killed_anywhere_a_name_holds_all_of_its_content_or_nothing(tmp_path: Path) -> None:
    new_logbook(tmp_path / "whole")
    wanted = {p.name: p.read_bytes() for p in (tmp_path / "whole").iterdir()}
    for steps in range(2, 60, 3):
        folder = tmp_path / f"killed-{steps}"
        command = [sys.executable, "-c", KILLED, str(folder), str(steps)]
        done = subprocess.run(command, timeout=300)
        files = [p for p in folder.iterdir() if not p.name.endswith(".part")]
        assert {p.name: p.read_bytes() for p in files}.items() <= wanted.items()
        new_logbook(folder)
        assert {p.name: p.read_bytes() for p in folder.iterdir()} == wanted
        if done.returncode == 0:
            break
        assert done.returncode == -9
    assert done.returncode == 0, "it was killed at every step until it went through"
    assert steps > 20


def test_a_full_disk_leaves_no_half_of_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(LogbookError, match=r"toml: cannot be made \(No space left on device\)$"):
        new_logbook(tmp_path / "mine")
    assert list((tmp_path / "mine").iterdir()) == []


def test_a_second_new_touches_nothing(tmp_path: Path) -> None:
    new_logbook(tmp_path)
    (tmp_path / "gear.csv").write_text("mine")
    made = new_logbook(tmp_path)
    assert made.made == []
    assert (tmp_path / "gear.csv").read_text() == "mine"


@pytest.fixture
def closed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The system lets nobody open a `tarebook.toml`."""
    really = Path.read_bytes

    def read_bytes(path: Path) -> bytes:
        if path.name == "tarebook.toml":
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        return really(path)

    monkeypatch.setattr(Path, "read_bytes", read_bytes)


@pytest.mark.usefixtures("closed")
def test_new_files_are_in_the_units_that_were_told_also_where_settings_cannot_be_read_back(
    tmp_path: Path,
) -> None:
    new_logbook(tmp_path, us=True)
    header = (tmp_path / "gear.csv").read_text().splitlines()[0].split(",")
    assert {"weight_oz", "rated_low_f"} <= {*header}


@pytest.mark.usefixtures("closed")
def test_settings_that_cannot_be_opened_are_one_line_and_nothing_is_made(lakes: Path) -> None:
    shutil.rmtree(lakes / "trips" / "2027-05-north")
    (lakes / "gear.csv").unlink()
    line = r"toml: could not be opened, so nobody knows in which units .* same command again$"
    with pytest.raises(LogbookError, match=line):
        new_logbook(lakes)
    with pytest.raises(LogbookError, match=line):
        new_trip(lakes, "2027-05-north")
    assert not (lakes / "gear.csv").exists()
    assert not (lakes / "trips" / "2027-05-north").exists()


def test_blank_files_are_in_the_persons_own_units(tmp_path: Path) -> None:
    (tmp_path / "tarebook.toml").write_text('[display]\nmass = "oz"\ntemperature = "f"\n')
    new_logbook(tmp_path)
    header = (tmp_path / "gear.csv").read_text().splitlines()[0].split(",")
    assert "weight_oz" in header
    assert "rated_low_f" in header


def test_a_file_in_the_way_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("")
    with pytest.raises(LogbookError, match=r"mine: is a file; name a folder for the logbook$"):
        new_logbook(tmp_path / "mine")


def test_a_planned_trip_gets_a_row_for_each_day_and_the_items_of_another(lakes: Path) -> None:
    shutil.rmtree(lakes / "trips" / "2027-05-north")
    load_logbook(lakes)
    made = new_trip(lakes, "2027-05-north")
    folder = lakes / "trips" / "2027-05-north"
    carried = rows(folder / "carried.csv")
    # The latest past trip by the same mode, bike: that of May 2026, less the one row that came
    # along later and with what it borrowed in weight for food and gas.
    assert [r["item"] for r in carried][:3] == ["tarp", "pegs", "summer-quilt"]
    assert len(carried) == 30
    assert next(r for r in carried if r["item"] == "food")["weight_g"] == "3100"
    assert not any(r["used"] or r["brought_home_g"] for r in carried)
    assert "bug-net" not in [r["item"] for r in carried]
    assert len(rows(folder / "distances.csv")) == 7
    assert {r["mode"] for r in rows(folder / "distances.csv")} == {"bike"}
    assert [r["aspect"] for r in rows(folder / "comfort.csv")] == ["sleep"] * 6
    assert len(rows(folder / "weather.csv")) == 7
    assert made.advice == [
        "carried.csv holds the 30 rows of 2026-05-river: delete what stays at home, add what is "
        "new",
        "the food has the weights of 2026-05-river: weigh it again",
    ]


def test_the_first_trip_of_all_starts_from_everything_owned(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text(
        "item,system,weight_g,retired_on\ntarp,shelter,400,\nold-mat,sleep,300,2020-01-01\n"
    )
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nfirst,2026-05-01,2026-05-02\n")
    load_logbook(tmp_path)
    made = new_trip(tmp_path, "first")
    assert [r["item"] for r in rows(tmp_path / "trips/first/carried.csv")] == ["tarp"]
    assert made.advice == [
        "carried.csv holds what gear.csv holds, 1 item: delete what stayed at home, add what is "
        "new",
        "once you have gone through the list, write use_record = all_but in trip.csv, and no in "
        "the column used for what stayed packed",
    ]


def test_days_are_laid_out_in_the_form_that_the_settings_declare(tmp_path: Path) -> None:
    (tmp_path / "tarebook.toml").write_text('[reading]\ndates = "MM/DD/YYYY"\n')
    (tmp_path / "gear.csv").write_text("item,system,weight_g\ntarp,shelter,400\n")
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nriver,05/03/2026,05/04/2026\n")
    load_logbook(tmp_path)
    new_trip(tmp_path, "river")
    for name in ("distances", "weather"):
        days = [r["day"] for r in rows(tmp_path / "trips/river" / f"{name}.csv")]
        assert days == ["05/03/2026", "05/04/2026"]
    assert check_logbook(tmp_path).clean


def test_what_is_made_is_no_fault_of_anybody(lakes: Path) -> None:
    shutil.rmtree(lakes / "trips" / "2027-05-north")
    load_logbook(lakes)
    new_trip(lakes, "2027-05-north")
    findings = check_logbook(lakes)
    assert findings.clean
    assert findings.warnings == []
    laid_out = {n.rpartition("/")[2]: c.laid_out for n, c in findings.files.items() if c.laid_out}
    assert laid_out == {"distances.csv": 7, "weather.csv": 7, "comfort.csv": 6}


def test_a_trip_nobody_entered_yet_gets_its_own_row_to_fill_in(lakes: Path) -> None:
    made = new_trip(lakes, "2026-12 quiet woods", like="2025-09-ridge")
    folder = lakes / "trips" / "2026-12-quiet-woods"
    assert rows(folder / "trip.csv")[0]["trip"] == "2026-12-quiet-woods"
    assert rows(folder / "trip.csv")[0]["mode"] == "bike"
    assert not (folder / "distances.csv").exists()
    assert made.advice[0].startswith("fill in start_on and end_on in ")
    text = (folder / "trip.csv").read_text()
    cells = text.splitlines()[1].split(",")
    cells[2:4] = ["2026-12-05", "2026-12-07"]
    (folder / "trip.csv").write_text(text.splitlines()[0] + "\n" + ",".join(cells) + "\n")
    load_logbook(lakes)
    again = new_trip(lakes, "2026-12-quiet-woods")
    assert "trips/2026-12-quiet-woods/carried.csv" in again.existing
    assert len(rows(folder / "distances.csv")) == 3


def test_retired_gear_makes_room_for_what_took_over(lakes: Path) -> None:
    made = new_trip(lakes, "2027-05-north-2", like="2024-06-islands")
    assert made.remarks == ["mat-foam is given up: mat-air in its place"]
    items = [r["item"] for r in rows(lakes / "trips/2027-05-north-2/carried.csv")]
    assert "mat-foam" not in items
    assert "mat-air" in items


GEAR = (
    "item,system,weight_g,replaces,bought_on,retired_on\n"
    "tarp,shelter,400,,,\nfoam,sleep,300,,,2026-08-01\nair,sleep,350,foam,,2026-09-01\n"
    "down,sleep,500,air,,\nspare,sleep,450,air,2027-01-01,\ncup,cook,60,,,2026-08-01\n"
)
TRIPS = (
    "trip,start_on,end_on,mode,plan\n2026-05-river,2026-05-01,2026-05-03,foot,\n"
    "2026-06-fell,2026-06-01,2026-06-03,foot,\n2026-07-bay,2026-07-01,2026-07-03,paddle,\n"
    "2026-10-hill,2026-10-01,2026-10-03,foot,yes\n2026-11-moor,2026-11-01,2026-11-03,foot,yes\n"
)
LISTS = (
    "trip,item,quantity,weight_g,bag\n2026-05-river,tarp,1,,\n2026-05-river,foam,2,290,pack\n"
    "2026-05-river,cup,1,,\n2026-07-bay,cup,1,,\n2026-11-moor,tarp,1,,\n"
)


@pytest.fixture
def hills(tmp_path: Path) -> Path:
    """One trip on foot with a list, a later one without, one by boat, two plans on foot."""
    for name, text in (("gear", GEAR), ("trip", TRIPS), ("carried", LISTS)):
        (tmp_path / f"{name}.csv").write_text(text)
    load_logbook(tmp_path)
    return tmp_path


def test_a_trip_starts_from_the_latest_of_its_mode_that_has_a_list(hills: Path) -> None:
    made = new_trip(hills, "2026-10-hill")
    carried = rows(hills / "trips/2026-10-hill/carried.csv")
    # 2026-06-fell is later, but has no list; 2026-11-moor is a plan. "foam" was given up, then
    # "air", which took over from it; "down" took over from that, "spare" is not bought yet.
    assert [(r["item"], r["quantity"], r["weight_g"], r["bag"]) for r in carried] == [
        ("tarp", "1", "", ""),
        ("down", "2", "", "pack"),
    ]
    assert made.remarks == ["foam is given up: down in its place"]
    assert made.advice == [
        "carried.csv holds the 2 rows of 2026-05-river: delete what stays at home, add what is new",
        "left out, since given up: cup",
    ]


def test_what_takes_over_and_is_listed_itself_is_put_in_once(hills: Path) -> None:
    (hills / "carried.csv").write_text(LISTS + "2026-05-river,down,1,,top\n")
    load_logbook(hills)
    new_trip(hills, "2026-10-hill")
    carried = rows(hills / "trips/2026-10-hill/carried.csv")
    assert [(r["item"], r["bag"]) for r in carried] == [("tarp", ""), ("down", "top")]


def test_a_plan_whose_list_stands_elsewhere_gets_no_second_one(hills: Path) -> None:
    made = new_trip(hills, "2026-11-moor")
    assert not (hills / "trips/2026-11-moor/carried.csv").exists()
    assert "the list of 2026-11-moor, which is outside of trips/2026-11-moor/" in made.existing
    assert "trips/2026-11-moor/distances.csv" in made.made
    assert (made.remarks, made.advice) == ([], [])
    load_logbook(hills)
    assert not [p for p in check_logbook(hills).problems if p.file.endswith("carried.csv")]


def test_a_plan_is_filled_from_another_when_that_is_named(hills: Path) -> None:
    new_trip(hills, "2026-10-hill", like="2026-11-moor")
    carried = rows(hills / "trips/2026-10-hill/carried.csv")
    assert [r["item"] for r in carried] == ["tarp"]


def test_files_that_exist_are_never_touched(lakes: Path) -> None:
    before = {p: p.read_bytes() for p in lakes.rglob("*.csv")}
    made = new_trip(lakes, "2026-05-river", like="2025-09-ridge")
    assert {p: p.read_bytes() for p in before} == before
    assert "trips/2026-05-river/carried.csv" in made.existing


@pytest.mark.parametrize("name", ["../../x", "con", "x/y", "", ".hidden", "a."])
def test_a_name_that_cannot_be_a_folder_is_refused(lakes: Path, name: str) -> None:
    with pytest.raises(QuestionError, match="name"):
        new_trip(lakes, name)
    assert sorted(p.name for p in (lakes / "trips").iterdir())[-1] == "2027-05-north"


def test_an_unknown_model_names_the_nearest(lakes: Path) -> None:
    with pytest.raises(QuestionError) as stop:
        new_trip(lakes, "x", like="2026-05-rivr")
    assert str(stop.value) == (
        'there is no trip "2026-05-rivr" to start from; did you mean "2026-05-river"?'
    )


def test_a_bag_called_like_a_formula_is_written_inert(lakes: Path) -> None:
    path = lakes / "trips/2026-05-river/carried.csv"
    path.write_text(path.read_text().replace("left pannier", "=cmd()"))
    load_logbook(lakes)
    new_trip(lakes, "next", like="2026-05-river")
    assert "'=cmd()" in (lakes / "trips/next/carried.csv").read_text()


def test_the_guides_name_every_column() -> None:
    page, reference = html_page(), markdown_reference()
    for table in BY_NAME.values():
        for column in table.columns:
            assert all(f"<code>{h}</code>" in page for h in column.headers)
            assert all(f"`{h}`" in reference for h in column.headers)
        assert blank_header(table) == [c.headers[0] for c in table.columns]


def test_the_guide_of_a_new_logbook_invites_to_say_what_things_are_for() -> None:
    gear = html_page().split("<h2>gear</h2>")[1].split("<table>")[0]
    for word in ("clothing, lights and power", "meant_for", "cold_below_f", "wet"):
        assert word in gear


def test_a_trip_whose_row_has_a_mistake_is_not_entered_a_second_time(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text("item,system,weight_g\ntarp,shelter,400\n")
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nriver,2026-05-01,02.05.2026\n")
    load_logbook(tmp_path)
    with pytest.raises(QuestionError) as stop:
        new_trip(tmp_path, "River")
    assert str(stop.value) == (
        'trip.csv:2 has "River", but with a mistake; mend that first, `tarebook check` says how'
    )
    assert not (tmp_path / "trips").exists()


def test_gear_that_could_not_be_read_is_told_when_a_trip_is_laid_out(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text("item,system,weight_g\ntarp,shelter,400\nbag,slep,900\n")
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nriver,2026-05-01,2026-05-02\n")
    load_logbook(tmp_path)
    assert new_trip(tmp_path, "river").advice[-1] == (
        "1 row of gear.csv could not be read and may be missing from carried.csv: "
        "`tarebook check` says why"
    )


def test_a_name_much_like_a_known_trip_is_questioned(lakes: Path) -> None:
    made = new_trip(lakes, "2026-05-rivr")
    assert 'if you meant "2026-05-river": this is a new trip, delete its folder' in made.advice


def test_files_and_settings_come_in_ounces_and_miles_when_asked(tmp_path: Path) -> None:
    new_logbook(tmp_path, us=True, dates="MM/DD/YYYY")
    settings = read_settings(tmp_path)
    assert (settings.mass, settings.temperature, settings.distance) == ("oz", "f", "mi")
    assert (settings.dates, settings.faults) == ("MM/DD/YYYY", ())
    gear = (tmp_path / "gear.csv").read_text().splitlines()[0].split(",")
    assert {"weight_oz", "cold_below_f", "rated_low_f"} <= set(gear)
    assert "elevation_ft" in (tmp_path / "trip.csv").read_text()
    text = (tmp_path / "tarebook.toml").read_text()
    assert "# body_lb = " in text
    assert "# base_weight_lb = " in text
    assert '[limits_lb]\n# "seat pack" = 6.5' in text
    assert "[limits]" not in text
    assert "_kg" not in text
    assert "base_weight_g" not in text
    (tmp_path / "gear.csv").write_text("item,system,weight_oz\ntarp,shelter,14\n")
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nfell,5/8/2026,5/9/2026\n")
    assert load_logbook(tmp_path).clean
    new_trip(tmp_path, "fell")
    header = (tmp_path / "trips/fell/distances.csv").read_text().splitlines()[0]
    assert "distance_mi,ascent_ft" in header
    assert check_logbook(tmp_path).clean


def test_settings_are_not_asked_for_twice(tmp_path: Path) -> None:
    (tmp_path / "tarebook.toml").write_text('[display]\nmass = "oz"\n')
    made = new_logbook(tmp_path, us=False, dates="DD.MM.YYYY")
    assert "tarebook.toml" in made.existing
    assert (tmp_path / "tarebook.toml").read_text() == '[display]\nmass = "oz"\n'
    assert "weight_oz" in (tmp_path / "gear.csv").read_text()


def test_what_is_derived_is_kept_from_version_control_and_a_file_there_stands(
    tmp_path: Path,
) -> None:
    new_logbook(tmp_path / "mine")
    lines = (tmp_path / "mine/.gitignore").read_text().splitlines()
    assert lines[1:] == [".tarebook/", "reports/"]
    (tmp_path / "other").mkdir()
    (tmp_path / "other/.gitignore").write_text("mine")
    made = new_logbook(tmp_path / "other")
    assert ".gitignore" in made.existing
    assert (tmp_path / "other/.gitignore").read_text() == "mine"


def test_the_things_of_a_kit_are_laid_out_together(tmp_path: Path) -> None:
    gear = "item,system,weight_g,kit\ntape,repair,20,Mending\ntarp,shelter,400,\n"
    gear += "knife,repair,30,\nneedle,repair,2,mending\npot,cook,90,Kitchen\n"
    gear += "glue,repair,15,MENDING\nlid,cook,30,kitchen\n"
    (tmp_path / "gear.csv").write_text(gear)
    (tmp_path / "trip.csv").write_text("trip,start_on,end_on\nriver,2026-05-01,2026-05-02\n")
    load_logbook(tmp_path)
    new_trip(tmp_path, "river")
    items = [r["item"] for r in rows(tmp_path / "trips/river/carried.csv")]
    assert items == ["tape", "needle", "glue", "tarp", "knife", "pot", "lid"]
