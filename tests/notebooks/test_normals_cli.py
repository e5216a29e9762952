"""Normals and the outlook on the command line."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]
PLACE = ("--latitude", 47.5, "--longitude", -122, "--elevation-m", 300)
DATES = ("--start-on", "2027-01-02", "--end-on", "2027-01-05")


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    """One past trip and a plan near Seattle, and one far from any station."""
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "gear.csv").write_text(
        "item,system,weight_g,rated_low_c\nquilt,sleep,600,3\nmat,sleep,400,\npot,cook,90,\n"
    )
    (folder / "trip.csv").write_text(
        "trip,start_on,end_on,latitude,longitude,elevation_m,plan\n"
        "past,2026-01-02,2026-01-04,47.5,-122,300,\n"
        "north,2026-01-02,2026-01-04,61,29,300,\n"
        "plan,2027-01-02,2027-01-05,47.5,-122,300,yes\n"
        "day-out,2027-01-02,2027-01-02,47.5,-122,300,yes\n"
    )
    (folder / "carried.csv").write_text("trip,item\nplan,quilt\nplan,mat\nplan,pot\n")
    (folder / "weather.csv").write_text("trip,day,low_c\npast,2026-01-02,1.5\n")
    return folder


def test_an_outlook_has_the_agreed_columns(run: Run, logbook: Path) -> None:
    ask = ("table", "outlook", logbook, *PLACE, *DATES, "--below-c", -2, "--as", "json")
    status, out, err = run(*ask)
    rows = json.loads(out)
    assert status == 0
    assert list(rows[0])[:5] == ["night", "normal_low_c", "sd_c", "p_below", "p_any_below"]
    assert [r["night"] for r in rows] == ["2027-01-02", "2027-01-03", "2027-01-04"]
    assert len({r["p_any_below"] for r in rows}) == 1
    assert rows[0]["p_below"] < rows[0]["p_any_below"] < sum(r["p_below"] for r in rows)
    lines = err.splitlines()
    assert lines[0] == (
        "tarebook: How likely it is that at least one of the 3 nights falls below −2 °C: about "
        "1 in 7, and it may be anything from 1 in 11 to 1 in 4."
    )
    assert "of Seattle Tacoma Intl AP, WA (USW00024233) that come with Tarebook" in lines[2]
    assert "worked out from hourly values of 1981–2010 at two airports, used within" in lines[3]
    assert "Cold can injure and kill" in lines[-1]


def test_an_outlook_of_a_plan_is_that_of_its_place_and_dates(run: Run, logbook: Path) -> None:
    by_trip = run("table", "outlook", logbook, "--trip", "plan", "--as", "csv")
    assert by_trip[0] == 0
    # Without a threshold that is asked for, the answer is the one of the reports: whether one will
    # be cold in what comes along. The table stands at the limit, here by the maker's figure alone.
    limit = by_trip[1].splitlines()[1].split(",")[7]
    by_place = run("table", "outlook", logbook, *PLACE, *DATES, "--below-c", limit, "--as", "csv")
    assert by_trip[1] == by_place[1]
    told = by_trip[2].splitlines()[0]
    assert told.startswith(
        "tarebook: How likely it is that at least one of the 3 nights is too cold in “quilt”: "
    )
    assert "its maker’s rating of 3 °C, taken as a limit of 2 °C: you have judged no night" in told
    again = run("table", "outlook", logbook, "--trip", "plan", "--below-c", -2, "--as", "csv")
    assert again[1] != by_trip[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("outlook",),
            "expected --trip, or a place and dates; --latitude, --longitude, --start-on,"
            " --end-on, --below-c missing",
        ),
        (("outlook", *PLACE, *DATES), "--below-c missing"),
        (("outlook", "--trip", "plan", "--latitude", 4), "--latitude does not go with --trip"),
        (("nights", "--below-c", 4), "--below-c goes with the table outlook, not nights"),
        (("outlook", *PLACE, "--start-on", "1 May", *DATES[2:], "--below-c", 0), "1 May"),
        (("outlook", "--trip", "plan", "--below-c", "cold"), "--below-c"),
    ],
)
def test_a_wrong_question_ends_with_2(
    run: Run, logbook: Path, words: tuple[object, ...], said: str
) -> None:
    status, out, err = run("table", words[0], logbook, *words[1:])
    assert (status, out) == (2, "")
    assert said in " ".join(err.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--trip", "north"), "outlook: No weather station with normals lies within 100\\u202fkm"),
        (("--trip", "day-out"), "outlook: expected a trip with a night, got a day out"),
        (("--trip", "plane"), 'did you mean "plan"?'),
        ((*PLACE[:2], "--longitude", 500, *DATES, "--below-c", 0), "longitude: expected -180 to"),
    ],
)
def test_what_cannot_be_answered_ends_with_1(
    run: Run, logbook: Path, words: tuple[object, ...], said: str
) -> None:
    status, out, err = run("table", "outlook", logbook, *words)
    assert (status, out) == (1, "")
    assert said.replace("\\u202f", " ") in err.replace("\u202f", " ")
    assert len(err.splitlines()) == 1


def test_normals_lists_what_is_known_and_how_near(run: Run, logbook: Path) -> None:
    status, out, _ = run("normals", logbook)
    known, near, _ = out.split("\n\n")
    assert status == 0
    assert known.splitlines()[0].split()[:5] == ["station", "product", "period", "name", "kind"]
    assert known.splitlines()[-1] == "2 rows"
    rows = {line.split()[0]: line for line in near.splitlines()[1:-1]}
    assert set(rows) == {"past", "north", "plan", "day-out"}
    assert rows["past"].split()[-3:] == ["24.46", "187.2", "yes"]
    assert rows["north"].endswith("no")


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, daily, USW00094765",
    "11.8 °F on 3 January, 117.7 m higher than the station",
)
def test_dropping_noaas_file_is_all_a_person_does(
    run: Run, logbook: Path, noaa: Callable[[str], Path]
) -> None:
    near_lebanon = (logbook / "trip.csv").read_text().replace("47.5,-122", "43.7,-72.2")
    (logbook / "trip.csv").write_text(near_lebanon)
    before = json.loads(run("table", "nights", logbook, "--as", "json")[1])
    assert {n["station"] for n in before} == {None}
    (logbook / "normals").mkdir()
    source = noaa("normals-daily-1991-2020-USW00094765.csv")
    shutil.copyfile(source, logbook / "normals" / "from the web (3).csv")
    nights = json.loads(run("table", "nights", logbook, "--as", "json")[1])
    past = [n for n in nights if n["trip"] == "past"]
    assert {n["station"] for n in past} == {"USW00094765"}
    # NOAA's file, 3 January: 11.8 °F, the camp 117.7 m higher than the station.
    assert past[0]["normal_low_c"] == pytest.approx((11.8 - 32) / 1.8 - 0.0065 * 117.7)
    assert past[0]["normal_source"] == "daily 1991-2020"
    status, out, _ = run("report", "temperature_context", logbook, "--trip", "past")
    page = Path(out.strip()).read_text(encoding="utf-8")
    assert status == 0
    assert "NOAA’s daily normals 1991–2020 of Lebanon Muni AP, NH (USW00094765)." in page


def test_the_report_takes_a_temperature(run: Run, logbook: Path) -> None:
    ask = ("report", "temperature_context", logbook, "--trip", "plan", "--below-c", "0")
    status, out, _ = run(*ask)
    page = Path(out.strip()).read_text(encoding="utf-8")
    assert status == 0
    assert (
        "How likely it is that at least one of the 3 nights falls below 0\u202f°C: about 1 in"
        in page
    )
    status, out, err = run("report", "debrief", logbook, "--below-c", "0")
    assert (status, out) == (2, "")
    assert "--below-c goes with the report temperature_context, not debrief" in err
