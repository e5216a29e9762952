"""`tarebook track` on the command line."""

import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]
TIMES = [datetime(2026, 5, 1, 20, tzinfo=UTC) + timedelta(seconds=60 * n) for n in range(300)]


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "gear.csv").write_text("item,system,weight_g\nquilt,sleep,600\n")
    (folder / "trip.csv").write_text(
        "trip,start_on,end_on,mode\nriver,2026-05-01,2026-05-02,foot\n"
    )
    (folder / "tarebook.toml").write_text('[reading]\ntimezone = "Europe/Lisbon"\n')
    return folder


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A walk from eight in the evening, UTC, for five hours: 66.7 m a minute, on the equator."""
    points = "".join(
        f'<trkpt lat="0" lon="{n * 0.0006:.4f}"><ele>{100 + n % 40}</ele>'
        f"<time>{at:%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for n, at in enumerate(TIMES)
    )
    path = tmp_path / "evening walk.gpx"
    path.write_text(f"<gpx version='1.1'><trk><trkseg>{points}</trkseg></trk></gpx>")
    return path


def test_it_shows_first_and_writes_when_asked(run: Run, logbook: Path, file: Path) -> None:
    before = {p: p.read_bytes() for p in logbook.glob("[a-z]*.*")}
    ask = ("track", file, "--trip", "river", "--logbook", logbook)
    status, out, err = run(*ask)
    assert (status, err) == (0, "")
    # Lisbon is an hour ahead of UTC in May: 180 points until midnight, 120 after. 66.79 m a leg; up
    # 39 m each 40 points, four times and 20 m on the first day, 19, 39, 39 and 19 m on the second.
    assert out.splitlines() == [
        "day         distance  climbing            hours  points",
        "2026-05-01  12.02 km  176 m (176 to 176)  3.00   180 of 180",
        "2026-05-02  7.95 km   116 m (116 to 116)  1.98   120 of 120",
        "300 points read: 300 used, 0 left out.",
        "Climbing adds up every climb of 5 m or more. The first figure in brackets leaves out "
        "climbs under 10 m, the second those under 3 m. Recorded heights waver, so no single "
        "figure is right.",
        "Nothing is written yet. --keep puts 2 days into a new file of the trip.",
    ]
    assert {p: p.read_bytes() for p in logbook.glob("[a-z]*.*")} == before
    assert not (logbook / "trips").exists()
    status, out, _ = run(*ask, "--keep")
    made = logbook / "trips" / "river" / "distances-evening-walk.csv"
    assert (status, out.splitlines()[-1]) == (0, f"made {made}")
    assert made.read_text().splitlines()[1:] == [
        "2026-05-01,foot,12.02,176,3.00",
        "2026-05-02,foot,7.95,116,1.98",
    ]
    assert run("check", logbook)[0] == 0
    status, out, _ = run(*ask, "--keep")
    assert status == 1
    assert out.splitlines()[-3:] == [
        "2026-05-01 has 12.02 km by foot already, which stays. It gets no second row.",
        "2026-05-02 has 7.95 km by foot already, which stays. It gets no second row.",
        "Nothing was written.",
    ]
    assert [p.name for p in made.parent.iterdir()] == [made.name]


def test_it_speaks_miles_and_feet(run: Run, logbook: Path, file: Path) -> None:
    (logbook / "tarebook.toml").write_text('[display]\ndistance = "mi"\n')
    _, out, _ = run("track", file, "--trip", "river", "--logbook", logbook, "--keep")
    assert out.splitlines()[1].startswith("2026-05-01  9.96 mi   768 ft (768 to 768)  4.00")
    assert "every climb of 16 ft or more" in out
    assert "Days are those of UTC, since [reading] in tarebook.toml has no timezone." in out
    (made,) = (logbook / "trips" / "river").iterdir()
    assert made.read_text().startswith("day,mode,distance_mi,ascent_ft,hours\n")
    assert run("check", logbook)[0] == 0


def test_a_track_of_other_days(run: Run, logbook: Path, file: Path) -> None:
    (logbook / "trip.csv").write_text("trip,start_on,end_on\nriver,2026-06-01,2026-06-02\n")
    ask = ("track", file, "--trip", "river", "--logbook", logbook)
    assert run(*ask)[0] == 0
    status, out, _ = run(*ask, "--keep")
    assert status == 1
    assert out.splitlines() == [
        "300 points read: 0 used, 300 left out (300 outside the days of the trip).",
        "Nothing was written. No point is of the days of river (2026-06-01 to 2026-06-02).",
    ]


def test_a_track_without_times_is_put_on_a_named_day(run: Run, logbook: Path, file: Path) -> None:
    text = file.read_text()
    bare = "".join(part.partition("</time>")[2] or part for part in text.split("<time>"))
    file.write_text(bare)
    ask = ("track", file, "--trip", "river", "--logbook", logbook)
    _, out, _ = run(*ask, "--keep")
    assert out.splitlines()[-2:] == [
        "What has no times belongs to no day. Name its day with --day.",
        "Nothing was written.",
    ]
    (logbook / "tarebook.toml").write_text('[reading]\ndates = "DD/MM/YYYY"\n')
    status, out, _ = run(*ask, "--day", "2/5/2026", "--keep")
    assert status == 0
    (made,) = (logbook / "trips" / "river").iterdir()
    assert made.read_text().splitlines()[1] == "02/05/2026,foot,19.97,292,"
    assert run("check", logbook)[0] == 0
    assert "Hours are not known where points have no times." in out


@pytest.mark.parametrize(
    ("more", "status", "message"),
    [
        (("--trip", "rivr"), 1, 'there is no trip "rivr"; did you mean "river"?'),
        (("--trip", "river", "--mode", "bik"), 2, 'got "bik"; did you mean "bike"?'),
        (
            ("--trip", "river", "--day", "yesterday"),
            2,
            'expected a date YYYY-MM-DD, got "yesterday"\n',
        ),
        (
            ("--trip", "river", "--day", "3.5.26"),
            2,
            'expected a date YYYY-MM-DD, got "3.5.26"; write the year first, with dashes and all '
            "its digits: 2026-05-01",
        ),
        ((), 2, "Missing option '--trip'"),
    ],
)
def test_a_wrong_question_is_one_line(
    run: Run, logbook: Path, file: Path, more: tuple[str, ...], status: int, message: str
) -> None:
    got, _, err = run("track", file, "--logbook", logbook, *more)
    assert got == status
    assert message in err
    assert "Traceback" not in err


def test_a_file_that_ends_in_the_middle_is_named(run: Run, logbook: Path, file: Path) -> None:
    whole = file.with_name("whole.gpx")
    whole.write_bytes(file.read_bytes())
    file.write_bytes(file.read_bytes()[:-30])
    status, out, _ = run("track", file, whole, "--trip", "river", "--logbook", logbook)
    assert status == 0
    assert '"evening walk.gpx" ends in the middle.' in out
    assert "whole.gpx" not in out


def test_a_pipe_is_refused(run: Run, logbook: Path, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.gpx")
    status, _, err = run("track", tmp_path / "pipe.gpx", "--trip", "river", "--logbook", logbook)
    assert status == 1
    assert "pipe.gpx: cannot be read (a pipe or a device, not a file; save it as a file" in err


def test_a_file_that_is_none_is_named(run: Run, logbook: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.gpx"
    bad.write_text("<!DOCTYPE gpx [<!ENTITY x SYSTEM 'file:///etc/passwd'>]><gpx>&x;</gpx>")
    status, out, err = run("track", bad, "--trip", "river", "--logbook", logbook)
    assert (status, out) == (1, "")
    assert err == (
        f"tarebook: {bad}: declares a document type (DOCTYPE), which no GPX file needs and some "
        "abuse; not read\n"
    )
