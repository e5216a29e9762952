"""What tracks say of a trip is put into a new file, and only what is not there already."""

import errno
import os
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import LogbookError, QuestionError
from tarebook.tripdata.store import load_logbook, open_for_reading, store_path
from tarebook.tripdata.tracks import Track, TrackDay, read_track
from tarebook.tripdata.tracks.keeping import Rows, file_name, keep, rows_of, trip_to_fill
from tarebook.tripdata.tracks.words import sentences
from trackfiles import START, gpx, track, walk

GEAR = "item,system,weight_g\nquilt,sleep,600\n"
TRIPS = "trip,start_on,end_on,mode\nRiver,2026-05-01,2026-05-03,foot\nlake,2026-06-01,2026-06-02,\n"
Book = Callable[..., Path]


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """A loaded logbook of two trips with the given files besides."""

    def make(**files: str) -> Path:
        folder = tmp_path / "book"
        texts = {"gear.csv": GEAR, "trip.csv": TRIPS}
        for name, text in (texts | files).items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text)
        load_logbook(folder)
        return folder

    return make


def three_days(heights: bool = True) -> Track:
    tracks = [
        track(walk(100, START + timedelta(days=n), heights=[*range(500, 600)] if heights else None))
        for n in range(3)
    ]
    return read_track(gpx(*tracks), "UTC", "foot")


def put(
    folder: Path, trip: str = "river", unit: str = "km", name: str = "walk"
) -> tuple[Rows, str]:
    own = trip_to_fill(folder, trip)
    rows = rows_of(three_days().within(own.start_on, own.end_on), own, own.mode, unit)
    return rows, keep(folder, own, name, rows)


def stored(folder: Path) -> list[tuple[object, ...]]:
    load_logbook(folder)
    with open_for_reading(store_path(folder)) as connection:
        query = "SELECT day, mode, distance_mm, ascent_mm, hours FROM distances ORDER BY ALL"
        return connection.execute(query).fetchall()


@pytest.mark.parametrize(
    ("unit", "header", "mm"), [("km", "km", 1_100_000), ("mi", "mi", 1_094_354)]
)
def test_the_new_file_is_read_without_a_complaint(
    book: Book, unit: str, header: str, mm: int
) -> None:
    folder = book()
    rows, name = put(folder, unit=unit)
    assert name == "trips/River/distances-walk.csv"
    lines = (folder / name).read_text().splitlines()
    assert lines[0] == f"day,mode,distance_{header},ascent_{'m' if unit == 'km' else 'ft'},hours"
    assert lines[1] == f"2026-05-01,foot,{'1.10,99' if unit == 'km' else '0.68,325'},0.22"
    findings = check_logbook(folder)
    assert (findings.clean, findings.problems, findings.warnings) == (True, [], [])
    assert [row[:3] for row in stored(folder)] == [
        (date(2026, 5, n), "foot", mm) for n in (1, 2, 3)
    ]
    assert rows.remarks == ()
    assert not list(folder.rglob(".tarebook-*"))


@pytest.mark.parametrize(
    ("dates", "first"),
    [("MM/DD/YYYY", "05/01/2026"), ("DD/MM/YYYY", "01/05/2026"), ("DD.MM.YYYY", "01.05.2026")],
)
def test_dates_are_written_as_the_logbook_writes_them(book: Book, dates: str, first: str) -> None:
    folder = book(**{"tarebook.toml": f'[reading]\ndates = "{dates}"\n'})
    own = trip_to_fill(folder, "River")
    name = keep(folder, own, "walk", rows_of(three_days(), own, own.mode, "km", dates))
    assert (folder / name).read_text().splitlines()[1].startswith(f"{first},foot,1.10,")
    assert [row[0] for row in stored(folder)] == [date(2026, 5, n) for n in (1, 2, 3)]


def test_what_is_not_known_stays_blank(book: Book) -> None:
    folder = book()
    own = trip_to_fill(folder, "River")
    undated = read_track(gpx(track(walk(100, None)))).on(date(2026, 5, 2))
    keep(folder, own, "walk", rows_of(undated, own, "foot", "km"))
    assert stored(folder) == [(date(2026, 5, 2), "foot", 1_100_000, None, None)]


def test_a_day_that_is_there_is_said_and_not_doubled(book: Book) -> None:
    folder = book(**{"trips/River/distances.csv": "day,distance_km,mode\n2026-05-02,8,\n"})
    rows, name = put(folder)
    assert rows.remarks == (
        "2026-05-02 has 8.00 km by foot already, which stays. It gets no second row.",
    )
    assert [str(day.day) for day in rows.days] == ["2026-05-01", "2026-05-03"]
    assert check_logbook(folder).clean
    load_logbook(folder)
    again = rows_of(three_days(), trip_to_fill(folder, "River"), "foot", "km")
    assert again.days == ()
    assert len(again.remarks) == 3
    assert (folder / name).exists()


def test_a_day_by_another_mode_adds_to_it(book: Book) -> None:
    folder = book(**{"distances.csv": "trip,day,distance_mi,mode\nriver,2026-05-02,5,paddle\n"})
    rows, _ = put(folder)
    assert rows.remarks == ("2026-05-02 has 8.05 km by paddle already; this adds to it.",)
    assert len(stored(folder)) == 4
    assert check_logbook(folder).clean


def test_a_trip_without_a_mode(book: Book) -> None:
    folder = book(**{"distances.csv": "trip,day,distance_km\nlake,2026-06-01,5\n"})
    own = trip_to_fill(folder, "LAKE")
    june = read_track(gpx(track(walk(100, START + timedelta(days=31)))))
    rows = rows_of(june, own, own.mode, "km")
    assert rows.remarks == ("2026-06-01 has 5.00 km already, which stays. It gets no second row.",)
    by_foot = rows_of(june, own, "foot", "km")
    assert by_foot.remarks == ("2026-06-01 has 5.00 km by no mode already; this adds to it.",)
    keep(folder, own, "walk", by_foot)
    assert check_logbook(folder).clean


def test_no_file_is_ever_replaced(book: Book) -> None:
    folder = book(**{"trips/River/distances-walk.csv": "day,distance_km\n"})
    mine = folder / "trips/River/distances-walk.csv"
    (folder / "trips/River/distances-walk-2.csv").symlink_to(folder / "nowhere")
    _, name = put(folder)
    assert name == "trips/River/distances-walk-3.csv"
    assert mine.read_text() == "day,distance_km\n"
    assert not (folder / "nowhere").exists()


def test_the_folder_of_the_trip_is_the_one_that_is_there(book: Book) -> None:
    folder = book(**{"trips/RIVER/weather.csv": "day,rain_mm\n2026-05-01,3\n"})
    assert put(folder)[1] == "trips/RIVER/distances-walk.csv"
    assert check_logbook(folder).clean


def test_a_file_system_without_links(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    folder = book()
    assert put(folder)[1] == "trips/River/distances-walk.csv"
    (folder / "trips/River/distances-walk-2.csv").symlink_to(folder / "nowhere")
    assert put(folder)[1] == "trips/River/distances-walk-3.csv"
    assert (folder / "trips/River/distances-walk-2.csv").is_symlink()
    assert not list(folder.rglob(".tarebook-*"))


def test_a_write_that_fails_leaves_nothing(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    folder = book()
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(LogbookError, match=r"cannot be written \(No space left on device\)"):
        put(folder)
    assert list((folder / "trips/River").iterdir()) == []


def test_a_trip_that_is_none(book: Book) -> None:
    with pytest.raises(QuestionError) as caught:
        trip_to_fill(book(), "rivr")
    assert str(caught.value) == 'there is no trip "rivr"; did you mean "River"?'


@pytest.mark.parametrize(
    ("files", "name"),
    [
        (["walk.gpx"], "walk"),
        (["a.gpx", "b.gpx"], "tracks"),
        (["Day 1 (evening).gpx"], "Day-1--evening"),
        (["Grüße.GPX"], "Grüße"),
        (["=cmd|' -c calc'!A1.gpx"], "cmd----c-calc--A1"),
        (["....gpx"], "track"),
        ([".gpx"], "gpx"),
        (["a\nb\x1b[31m.gpx"], "a-b--31m"),
        (["x" * 200 + ".gpx"], "x" * 60),
    ],
)
def test_the_name_of_the_new_file(files: list[str], name: str) -> None:
    assert file_name([Path(file) for file in files]) == name


@pytest.mark.parametrize(
    ("day", "remark"),
    [
        (
            TrackDay(None, 5, points_used=9),
            "What has no times belongs to no day. Name its day with --day.",
        ),
        (TrackDay(None), ""),
        (
            TrackDay(date(2026, 5, 1), 0.004, points_used=9),
            "2026-05-01 gets no row: no way was recorded.",
        ),
        (
            TrackDay(date(2026, 5, 1), 1001, points_used=9),
            "2026-05-01 gets no row: more distance than a day can have. Is it a track of yours?",
        ),
        (
            TrackDay(date(2026, 5, 1), 10, ascent_m=10_001, points_used=9),
            "2026-05-01 gets no row: more ascent than a day can have. Is it a track of yours?",
        ),
    ],
)
def test_days_that_get_no_row(book: Book, day: TrackDay, remark: str) -> None:
    rows = rows_of(Track((day,)), trip_to_fill(book(), "river"), "foot", "km")
    assert rows.days == ()
    assert rows.remarks == ((remark,) if remark else ())


def test_the_sentences_name_every_reason_and_what_is_not_known() -> None:
    left_out = {"place": 1, "doubled": 2, "backward": 3, "overlap": 4, "jump": 5}
    day = TrackDay(
        date(2026, 5, 1), 5, points_used=1000, left_out=left_out, gaps=2, gap_km=1.5, jumps=1
    )
    other = TrackDay(date(2026, 5, 9), 5, points_used=7, left_out={"doubled": 1})
    result = Track((day,), (other,), 1, 3, 1, 25, "", 12, 21.0, 1, ("",))
    assert sentences(result, "mi") == [
        "1 route with 25 points: a route is a way to be followed. It has no days and is not "
        "counted.",
        "A file ends in the middle. What comes before that is read; more may be missing.",
        "1 segment ran backward in time and was read the other way round.",
        "1,023 points read: 1,000 used, 23 left out (1 without a position that can be read; "
        "2 doubled; 3 backward in time; 4 from hours that another track already covers; "
        "5 where nobody travels so fast; 8 outside the days of the trip).",
        "Faster than 13 mph counts as a jump, not as travelling. "
        "1 step to another place is not added.",
        "In 2 places the recording breaks off. What lies between, 0.93 mi in straight lines, is "
        "not added.",
        "Climbing is not known where heights are missing, 0 or all the same.",
        "Hours are not known where points have no times. Jumps cannot be seen there, either.",
        "Days are those of UTC, since [reading] in tarebook.toml has no timezone. 12 points may "
        "belong to another day by the local clock.",
    ]


def test_a_route_alone_says_so() -> None:
    route = '<rte><rtept lat="1" lon="1"/></rte>'
    assert sentences(read_track(gpx(route)), "km") == [
        "1 route with 1 point: a route is a way to be followed. It has no days and is not counted.",
        "There is no track in it: nothing was recorded.",
    ]
