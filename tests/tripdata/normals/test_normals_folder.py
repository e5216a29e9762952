"""The normals folder of a logbook: under any name; what cannot be used is named, no more."""

import json
import os
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import duckdb
import pytest
import station_files as made
from kit import is_current, records_read, records_set_aside
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import load_logbook, store_path

LAKES = Path(__file__).parents[2] / "logbooks" / "lakes"


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    return folder


def drop(logbook: Path, name: str, data: bytes) -> Path:
    path = logbook / "normals" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data)
    return path


def ask(logbook: Path, query: str) -> list[tuple[object, ...]]:
    with duckdb.connect(str(store_path(logbook)), read_only=True) as connection:
        return connection.execute(query).fetchall()


def told(findings: Findings) -> list[str]:
    return [str(p) for p in findings.problems] + [str(w) for w in findings.warnings]


SETS = 'SELECT station, product, period, "file" FROM normal_sets ORDER BY ALL'
PACKAGED = [
    ("USW00023234", "hourly", "1981-2010", None),
    ("USW00024233", "hourly", "1981-2010", None),
]


def test_without_a_folder_the_packaged_stations_are_there(logbook: Path) -> None:
    findings = load_logbook(logbook)
    assert findings.clean
    assert not findings.warnings
    assert ask(logbook, SETS) == PACKAGED
    assert ask(logbook, "SELECT count(*), count(sd_c) FROM normals") == [(732, 366)]


def test_a_file_under_any_name_is_read_and_counted(logbook: Path) -> None:
    drop(logbook, "something I found.CSV", made.daily())
    findings = load_logbook(logbook)
    assert findings.clean
    counted = findings.files["normals/something I found.CSV"]
    assert (counted.read, counted.loaded, counted.set_aside) == (366, 366, 0)
    assert ask(logbook, SETS)[-1] == (
        "USW00099999",
        "daily",
        "1991-2020",
        "normals/something I found.CSV",
    )
    where = "SELECT name, latitude, longitude, elevation_m FROM stations WHERE station LIKE '%999'"
    assert ask(logbook, where) == [("FERNHOLLOW AP, WA US", 47.5, -122.0, 100.0)]
    low = "SELECT low_c, sd_c FROM normals WHERE station LIKE '%999' AND month_day = '02-29'"
    # 40 °F and a spread of 8 °F.
    assert ask(logbook, low)[0] == pytest.approx((40 / 9, 40 / 9))


def test_checking_finds_what_loading_finds_and_stores_nothing(logbook: Path) -> None:
    drop(logbook, "good.csv", made.daily())
    drop(logbook, "bad.csv", b"a,b\n")
    checked = check_logbook(logbook)
    assert not store_path(logbook).exists()
    loaded = load_logbook(logbook)
    assert told(checked) == told(loaded)
    assert checked.files == loaded.files


def test_broken_and_foreign_files_are_named_and_change_nothing_else(logbook: Path) -> None:
    load_logbook(logbook)
    tables = (
        "trip",
        "carried",
        "weather",
        "temperatures",
        "normals",
        "stations",
        "normal_sets",
        "station_distances",
        "set_aside",
    )
    before = {t: ask(logbook, f"SELECT * FROM {t} ORDER BY ALL") for t in tables}
    good = made.daily()
    drop(logbook, "cut.csv", good[: len(good) // 2])
    drop(logbook, "foreign.csv", b"item,name\ntent,Tent\n")
    drop(logbook, "empty.csv", b"")
    drop(logbook, "picture.csv", b"\x89PNG\x00\x00")
    drop(
        logbook,
        "snow.csv",
        made.text([{"STATION": "USW00099999", "DATE": "01", "MLY-SNOW-NORMAL": "1"}]),
    )
    drop(logbook, ".hidden.csv", b"")
    drop(logbook, "~$lock.csv", b"")
    drop(logbook, "notes.txt", b"take the other station")
    (logbook / "normals" / "folder.csv").mkdir()
    findings = load_logbook(logbook)
    lines = told(findings)
    assert [line.split(":")[0] for line in lines] == [
        "normals/cut.csv",
        "normals/empty.csv",
        "normals/folder.csv",
        "normals/foreign.csv",
        "normals/picture.csv",
        "normals/snow.csv",
    ]
    assert lines[2] == "normals/folder.csv: cannot be opened (Is a directory)"
    assert lines[-1] == (
        "normals/snow.csv: the station has no normal of the low in this file; take another product "
        "or a station nearby; this file was left out"
    )
    assert records_set_aside(findings) == 0
    assert sum(f.unreadable for f in findings.files.values()) == 5
    assert records_read(findings) == sum(f.loaded for f in findings.files.values())
    assert {t: ask(logbook, f"SELECT * FROM {t} ORDER BY ALL") for t in tables} == before


def test_a_file_too_large_is_not_even_opened(logbook: Path) -> None:
    path = drop(logbook, "huge.csv", b"x")
    os.truncate(path, 40_000_000)
    assert told(check_logbook(logbook)) == [
        "normals/huge.csv: is larger than any by-station normals file of NOAA's; this file was "
        "left out"
    ]


def test_of_two_files_with_the_same_normals_the_first_by_name_stands(logbook: Path) -> None:
    drop(logbook, "a.csv", made.daily(lambda _: 50.0))
    drop(logbook, "b.csv", made.daily(lambda _: 30.0))
    findings = load_logbook(logbook)
    assert told(findings) == [
        "normals/b.csv: the daily normals 1991-2020 of USW00099999 are in normals/a.csv already; "
        "this file was left out"
    ]
    assert findings.clean
    low = "SELECT DISTINCT low_c FROM normals WHERE station LIKE '%999'"
    assert ask(logbook, low) == [(10.0,)]


def test_a_file_that_does_not_show_its_period_says_so(logbook: Path) -> None:
    drop(logbook, "a.csv", made.daily(years=12, flag="R"))
    assert told(check_logbook(logbook)) == [
        "normals/a.csv: the file does not show its period and is taken for 1991-2020; put the "
        "period into the file's name if it is another"
    ]


def test_files_of_2006_2020_under_noaas_own_names_are_not_taken_for_1991_2020(
    logbook: Path,
) -> None:
    # NOAA names a station's files alike in every folder: USW00099999.csv, daily as monthly.
    drop(logbook, "USW00099999.csv", made.daily(years=15, flag="R"))
    drop(logbook, "USW00099999 (1).csv", made.monthly(lambda _: 30, 15, "R"))
    findings = load_logbook(logbook)
    assert told(findings) == []
    assert [row[1:3] for row in ask(logbook, SETS) if row[0] == "USW00099999"] == [
        ("daily", "2006-2020"),
        ("monthly", "2006-2020"),
    ]


def test_a_newer_monthly_file_takes_no_chance_away(logbook: Path) -> None:
    from tarebook.analysis.climate.outlook import Outlook, outlook
    from tarebook.analysis.climate.station_choice import Place
    from tarebook.analysis.store.opening import open_store

    def chance() -> tuple[float | None, str]:
        load_logbook(logbook)
        with open_store(store_path(logbook)) as store:
            days = date(2027, 7, 3), date(2027, 7, 6)
            found = outlook(store, Place(47.5, -122.0, 100.0), *days, 0.0)
        assert isinstance(found, Outlook)
        return found.p_any and found.p_any.value, found.station.normal_source

    # Lows of 40 °F with a spread of 8: 0 °C is one standard deviation below.
    drop(logbook, "USW00099999.csv", made.daily())
    alone = chance()
    drop(logbook, "USW00099999 (1).csv", made.monthly(lambda _: 45, 15, "R"))
    assert chance() == alone
    # Any of three nights under -1, neighbours correlated by .68: SciPy's multivariate normal.
    assert alone == (pytest.approx(0.29916, abs=5e-5), "daily 1991-2020")
    (logbook / "normals" / "USW00099999.csv").unlink()
    assert chance() == (None, "monthly 2006-2020")


def test_both_periods_of_a_station_are_kept_side_by_side(logbook: Path) -> None:
    drop(logbook, "a.csv", made.daily(years=15, flag="R"))
    drop(logbook, "b.csv", made.daily(years=24, flag="S"))
    assert told(load_logbook(logbook)) == []
    assert [row[1:3] for row in ask(logbook, SETS) if row[0] == "USW00099999"] == [
        ("daily", "1991-2020"),
        ("daily", "2006-2020"),
    ]


def test_a_named_station_without_normals_is_warned_of(logbook: Path) -> None:
    path = logbook / "trip.csv"
    path.write_text(
        "trip,start_on,end_on,station\n"
        "a,2026-05-01,2026-05-02,USW00094765\n"
        "b,2026-05-01,2026-05-02,san francisco intl ap CA US\n"
        "c,2026-05-01,2026-05-02,usw00099999\n"
        "d,2026-05-01,2026-05-02,\n"
        "e,2026-05-01,2026-05-02,usw00094765\n"
        "f,2026-05-01,2026-05-02,San Fransisco Intl AP\n"
    )
    for trips in (logbook / "trips").iterdir():
        shutil.rmtree(trips)
    drop(logbook, "x.csv", made.daily())
    for findings in (check_logbook(logbook), load_logbook(logbook)):
        assert findings.clean
        assert told(findings) == [
            'trip.csv:2: station: "USW00094765": no normals of this station are in normals/, so '
            "that this trip and 1 more have none; put its file there, or leave the cell blank for "
            "the nearest",
            'trip.csv:7: station: "San Fransisco Intl AP": no normals of this station are in '
            "normals/, so that this trip has none; put its file there, or leave the cell blank for "
            'the nearest; did you mean "SAN FRANCISCO INTL AP, CA US"?',
        ]
    drop(logbook, "y.csv", made.daily(STATION="USW00094765", NAME="LEBANON MUNI AP, NH US"))
    assert len(told(check_logbook(logbook))) == 1


def test_a_station_may_be_called_as_any_of_its_files_has_it(logbook: Path) -> None:
    drop(logbook, "new.csv", made.daily())
    drop(logbook, "old.csv", made.old_daily(lambda _: 400, NAME="FERNHOLLOW MUNICIPAL, WA US"))
    (logbook / "trip.csv").write_text(
        "trip,start_on,end_on,station\n"
        "a,2026-05-01,2026-05-02,Fernhollow Municipal WA US\n"
        "b,2026-05-01,2026-05-02,Fernhollow AP WA US\n"
    )
    for trips in (logbook / "trips").iterdir():
        shutil.rmtree(trips)
    assert told(load_logbook(logbook)) == []
    assert ask(logbook, "SELECT trip, station FROM station_distances WHERE named ORDER BY 1") == [
        ("a", "USW00099999"),
        ("b", "USW00099999"),
    ]


def test_a_file_of_a_packaged_station_takes_its_place(logbook: Path) -> None:
    data = made.old_hourly(lambda *_: 500, STATION="USW00024233", NAME="SEATTLE, WA US")
    drop(logbook, "x.csv", data)
    load_logbook(logbook)
    assert ask(logbook, SETS) == [PACKAGED[0], (*PACKAGED[1][:3], "normals/x.csv")]
    assert ask(logbook, "SELECT name FROM stations ORDER BY station DESC") == [
        ("SEATTLE, WA US",),
        ("SAN FRANCISCO INTL AP, CA US",),
    ]


def test_dropping_a_file_makes_the_store_stale(logbook: Path) -> None:
    load_logbook(logbook)
    assert is_current(logbook)
    path = drop(logbook, "a.csv", made.daily())
    assert not is_current(logbook)
    load_logbook(logbook)
    assert is_current(logbook)
    path.unlink()
    assert not is_current(logbook)


def test_a_normals_folder_that_is_a_file_is_named(logbook: Path) -> None:
    (logbook / "normals").write_text("")
    assert told(check_logbook(logbook)) == ["normals: cannot be read (Not a directory)"]


def test_the_command_line_counts_normals_apart(
    logbook: Path, run: Callable[..., tuple[int, str, str]]
) -> None:
    # A name that begins like a table's is still a file of normals in that folder.
    drop(logbook, "weather-station.csv", made.daily())
    drop(logbook, "bad.csv", b"")
    status, out, _ = run("check", logbook)
    assert status == 1
    assert "normals/bad.csv: is empty; this file was left out\n" in out
    row = next(line for line in out.splitlines() if line.startswith("normals (2 files)"))
    assert row.split()[-5:] == ["366", "366", "0", "1", "unreadable"]
    _, out, _ = run("check", "--json", logbook)
    assert {p["file"] for p in json.loads(out)["problems"]} == {"normals/bad.csv"}


def test_distances_are_kept_to_what_is_near_nearest_or_named(logbook: Path) -> None:
    path = logbook / "trip.csv"
    path.write_text(
        "trip,start_on,end_on,latitude,longitude,station\n"
        "near,2026-05-01,2026-05-02,47.4,-122.1,\n"
        "far,2026-05-01,2026-05-02,60,-122.1,\n"
        "named,2026-05-01,2026-05-02,47.4,-122.1,san francisco intl ap CA US\n"
        "placeless,2026-05-01,2026-05-02,,,usw00023234\n"
        "nowhere,2026-05-01,2026-05-02,,,\n"
        "unknown,2026-05-01,2026-05-02,47.4,-122.1,Mudflat\n"
    )
    for trips in (logbook / "trips").iterdir():
        shutil.rmtree(trips)
    load_logbook(logbook)
    rows = ask(
        logbook,
        "SELECT trip, station, round(distance_km), named FROM station_distances ORDER BY ALL",
    )
    assert rows == [
        ("far", "USW00024233", 1397, False),
        ("named", "USW00023234", 1087, True),
        ("named", "USW00024233", 17, False),
        ("near", "USW00024233", 17, False),
        ("placeless", "USW00023234", None, True),
        ("unknown", "USW00024233", 17, False),
    ]


def test_a_trip_far_off_costs_one_distance_each(
    logbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tarebook.tripdata.normals import distance

    asked: list[tuple[float, ...]] = []
    real: Callable[..., float] = distance.geodesic_km
    monkeypatch.setattr(distance, "geodesic_km", lambda *p: asked.append(p) or real(*p))
    load_logbook(logbook)
    # Six trips at five places in another part of the world: the nearest station only, once each.
    assert len(asked) == len(set(asked)) == 5
