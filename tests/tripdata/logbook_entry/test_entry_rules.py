"""What an entry may say, what is refused and in which words, and how a trip is begun."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from entries import CARRIED, FIRST, along, amount, changed, on_day, without
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.logbook_entry import (
    Along,
    Dropped,
    Leg,
    TripEntry,
    Wish,
    begin,
    fill,
    prepare,
    read_entry,
)
from tarebook.tripdata.logbook_entry import (
    write as write_it,
)
from tarebook.tripdata.store import load_logbook, open_for_reading, store_path

Write = Callable[..., Path]
USED = "trips/river/used.csv"
LAKES = Path(__file__).parents[2] / "logbooks" / "lakes"


def problems(folder: Path, change: Callable[[TripEntry], TripEntry]) -> tuple[str, ...]:
    """Why a change cannot be written."""
    return prepare(folder, change(read_entry(folder, "river"))).problems


def test_what_used_csv_says_is_what_is_shown(write: Write) -> None:
    folder = write(
        {
            CARRIED: "item,used\ntent,no\nstove,\nfood,\n",
            USED: "item,times,day\ntent,1,\ntent,2,2026-05-02\nstove,0,\n",
        }
    )
    uses = {a.item: a.used for a in read_entry(folder, "river").along}
    assert uses == {"tent": 3, "stove": False, "food": None}


@pytest.mark.parametrize(
    ("use", "record", "refused"),
    [
        (True, "all_but", False),
        (2, "all_but", False),
        (None, "all_but", False),
        (None, "full", True),
        (False, "all_but", True),
        (1, "all_but", True),
        (3, "partial", True),
    ],
)
def test_what_used_csv_says_is_never_contradicted(
    write: Write, use: bool | int | None, record: str, refused: bool
) -> None:
    folder = write({CARRIED: "item,used\ntent,no\n", USED: "item,times\ntent,2\n"})
    entry = replace(read_entry(folder, "river"), use_record=record)
    writing = prepare(folder, along(entry, "tent", used=use, note="x"))
    if refused:
        assert writing.problems == (
            f'{USED}:2 says how often "tent" was used, 2 in all, and counts instead; '
            "change it there",
        )
    else:
        assert writing.problems == ()
        write_and_read = [c.after for c in writing.changes if c.path == CARRIED]
        assert write_and_read == [b"item,used,note\ntent,no,x\n"]


def test_a_thing_that_was_used_is_not_taken_off_the_list(write: Write) -> None:
    folder = write({CARRIED: "item\ntent\nstove\n", USED: "item\ntent\n"})
    (problem,) = problems(folder, lambda e: without(e, "tent"))
    assert problem.startswith(f'{USED}:2: item: "tent" was not carried on river')


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda e: along(e, "spoon"), 'carried, "spoon": item: expected an item of gear.csv'),
        (lambda e: along(e, "tent", used=2000), "up to 1000"),
        (lambda e: along(e, "tent", brought_home=amount("-3 g")), "expected a number from 0"),
        (lambda e: along(e, "tent", brought_home=amount("3 km")), "got the unit km"),
        (lambda e: along(e, "tent", brought_home=amount("NaN g")), "expected a number"),
        (lambda e: along(e, "tent", brought_home=amount("1e99999 g")), "expected a number"),
        (lambda e: along(e, "tent", from_day=date(2027, 1, 1)), "expected a day of the trip"),
        (lambda e: replace(e, along=(*e.along, *e.along)), "the first one stands"),
        (lambda e: replace(e, end_on=None), "end_on: a value is needed"),
        (lambda e: replace(e, end_on=date(2026, 4, 1)), "expected a day not before start_on"),
        (lambda e: replace(e, mode="flying"), "expected one of foot"),
        (lambda e: replace(e, latitude=Decimal(91)), "latitude"),
        (lambda e: on_day(e, FIRST, legs=(Leg("", hours=Decimal(3)),)), "distance: a value is"),
        (lambda e: on_day(e, date(2026, 4, 1), low=amount("3 c")), "expected a day of the trip"),
        (lambda e: replace(e, wishes=(Wish(note="x"),)), "expected what was missed"),
    ],
)
def test_what_check_would_complain_of_is_refused_before(
    write: Write, change: Callable[[TripEntry], TripEntry], said: str
) -> None:
    folder = write({CARRIED: "item,used\ntent,yes\n"})
    former = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    writing = prepare(folder, change(read_entry(folder, "river")))
    assert any(said in problem for problem in writing.problems), writing.problems
    with pytest.raises(QuestionError, match="nothing was written"):
        write_it(folder, writing)
    assert all(path.read_bytes() == data for path, data in former.items())


@pytest.mark.parametrize(
    "wrong", [{"quantity": 0}, {"weight": amount("NaN g")}, {"bag": "a\0b"}, {"note": "x\n" * 2500}]
)
def test_what_is_wrong_with_one_row_is_said_once_and_removes_none(
    write: Write, wrong: dict[str, object]
) -> None:
    folder = write({CARRIED: "item,quantity,note\ntent,1,mine\nstove,,\n"})
    entry = on_day(along(read_entry(folder, "river"), "tent", **wrong), FIRST, low=amount("3 c"))
    writing = prepare(folder, entry)
    assert len(writing.problems) == 1
    assert [line for c in writing.changes for line in c.lines if "removed" in line] == []
    assert sum(change.removed for change in writing.changes) == 0
    assert "trips/river/weather.csv" in [change.path for change in writing.changes]


def test_a_wish_for_nothing_is_one_problem(write: Write) -> None:
    folder = write({})
    writing = prepare(folder, replace(read_entry(folder, "river"), wishes=(Wish(),)))
    assert writing.problems == ("wished: expected what was missed, or the item left at home",)
    assert writing.changes == ()


def test_a_question_of_check_is_a_remark_and_no_problem(write: Write) -> None:
    folder = write(
        {
            "gear.csv": "item,system,weight_g,retired_on\ntent,shelter,1200,2025-01-01\n",
            CARRIED: "item\n",
        }
    )
    writing = prepare(folder, along(read_entry(folder, "river"), "tent"))
    assert writing.problems == ()
    assert len(writing.remarks) == 1
    assert "2025-01-01" in writing.remarks[0]


def test_what_was_there_already_is_no_new_problem(write: Write) -> None:
    text = "item,quantity,used\nspoon,,\ntent,,\nfood,many,\n"
    folder = write({CARRIED: text})
    assert len(check_logbook(folder).problems) == 2
    full = replace(read_entry(folder, "river"), use_record="full")
    changed(folder, lambda _: along(without(full, "tent"), "stove", used=True))
    assert (folder / CARRIED).read_text() == "item,quantity,used\nspoon,,\nstove,,yes\nfood,many,\n"


def test_only_rows_that_were_shown_are_changed(write: Write) -> None:
    folder = write({CARRIED: "item\ntent\n"})
    first = read_entry(folder, "river")
    with (folder / CARRIED).open("a") as file:
        file.write("stove\n")
    assert prepare(folder, first).problems == (
        f"{CARRIED}: was changed since this trip was read; read it again",
    )
    assert prepare(folder, replace(first, seen=())).problems == (
        "trip.csv: has rows of this trip that were not shown; read the trip again",
        f"{CARRIED}: has rows of this trip that were not shown; read the trip again",
    )


def test_rows_of_other_trips_may_change_meanwhile(write: Write) -> None:
    folder = write({"carried.csv": "trip,item\nriver,tent\n"})
    entry = read_entry(folder, "river")
    (folder / "carried.csv").write_text("trip,item\ncoast,food\nriver,tent\n")
    assert prepare(folder, entry).problems == ()


@pytest.mark.parametrize("name", ["../x", "", "con", "a/b", "x" * 300, "a\0b", "."])
def test_a_trip_of_a_bad_name_is_refused(write: Write, name: str) -> None:
    folder = write({})
    writing = prepare(folder, TripEntry(name, FIRST, FIRST))
    assert writing.problems
    assert sorted(p.name for p in folder.iterdir()) == ["gear.csv", "trip.csv"]


def test_a_trip_that_is_not_there_or_broken_is_named(write: Write) -> None:
    folder = write({"trips/alp/trip.csv": "trip,start_on,end_on\nalp,soon,later\n"})
    with pytest.raises(QuestionError, match='there is no trip "rivr"; did you mean "river"'):
        read_entry(folder, "rivr")
    with pytest.raises(QuestionError, match=r"trips/alp/trip\.csv:2 has \"alp\", but"):
        read_entry(folder, "alp")
    assert prepare(folder, TripEntry("alp", FIRST, FIRST)).problems[0].startswith("trips/alp/trip")


def test_titles_that_stand_in_for_a_name(write: Write) -> None:
    folder = write({"trip.csv": "trip,title,start_on,end_on\nRiver trip,,2026-05-01,2026-05-02\n"})
    entry = read_entry(folder, "river-trip")
    assert (entry.trip, entry.title) == ("River-trip", None)
    assert prepare(folder, entry) == replace(prepare(folder, entry), changes=(), problems=())
    writing = prepare(folder, replace(entry, title="A river"))
    assert writing.problems == ()
    assert b"River trip,A river," in writing.changes[0].after


def test_a_trip_is_begun_like_the_latest_of_its_mode(tmp_path: Path) -> None:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    start, end = date(2026, 12, 1), date(2026, 12, 3)
    entry = begin(folder, "fells", start_on=start, end_on=end, mode="foot")
    assert (entry.use_record, entry.mode, len(entry.days)) == (None, "foot", 3)
    assert entry.along
    writing = prepare(folder, entry)
    assert writing.problems == ()
    former = check_logbook(folder).problems
    write_it(folder, writing)
    assert [str(p) for p in check_logbook(folder).problems] == [str(p) for p in former]
    read = read_entry(folder, "fells")
    assert [a.item for a in read.along] == [a.item for a in entry.along]
    assert begin(folder, "fells") == read


def test_successors_are_put_in(write: Write) -> None:
    gear = (
        "item,system,weight_g,retired_on,replaces\ntent,shelter,1200,2026-06-01,\n"
        "tarp,shelter,400,,tent\nstove,cook,90,,\n"
    )
    folder = write({"gear.csv": gear, CARRIED: "item,bag\ntent,big\nstove,\n"})
    entry = begin(folder, "hills", like="river")
    assert entry.along == (Along("tarp", quantity=1, bag="big"), Along("stove", quantity=1))


GPX = """<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk>
<trkseg>{}</trkseg></trk></gpx>"""


def track(day: str) -> bytes:
    """Forty points of a degree's thousandth each along the equator, a minute apart."""
    points = (
        f'<trkpt lat="0" lon="{n / 1000:.3f}"><ele>{100 + n}</ele>'
        f"<time>{day}T08:{n:02}:00Z</time></trkpt>"
        for n in range(41)
    )
    return GPX.format("".join(points)).encode()


def test_tracks_fill_the_days(write: Write) -> None:
    folder = write({"trips/river/distances.csv": "day,distance_km\n2026-05-02,9\n"})
    entry = read_entry(folder, "river")
    files = [Dropped(f"{n}.gpx", track(f"2026-05-0{n}"), "track") for n in (1, 2, 9)]
    files.append(Dropped("broken.gpx", b"<gpx", "track"))
    filled = fill(folder, entry, files)
    # A degree of the equator is 111.319490793 km (WGS 84), so these 0.040 are 4.4528 km.
    assert filled.entry.days[0].legs[0].distance == amount("4.45 km")
    assert filled.entry.days[0].legs[0].ascent == amount("40 m")
    assert [leg.distance for leg in filled.entry.days[1].legs] == [amount("9 km")]
    assert any('"broken.gpx"' in remark for remark in filled.remarks)
    assert any("2026-05-02 has 9.00 km" in remark for remark in filled.remarks)
    assert any("outside the days of the trip" in remark for remark in filled.remarks)
    writing = prepare(folder, replace(entry, dropped=(files[0],)))
    assert writing.problems == ()
    assert writing.changes == prepare(folder, fill(folder, entry, files[:1]).entry).changes
    write_it(folder, writing)
    assert (folder / "trips/river/distances.csv").read_text() == (
        "day,distance_km,ascent_m,hours\n2026-05-02,9\n2026-05-01,4.45,40,0.67\n"
    )


LOGGED = b"at,temperature_c\n2026-05-01 22:00,4.5\n2026-05-02 03:00,1.5\n"


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("porch.csv", "temperatures-porch.csv"),
        ("../../etc/passwd", "temperatures-passwd.csv"),
        ("C:\\x\\y.csv", "temperatures-C-x-y.csv"),
        ('a,"b"\n\u2028c\0.txt', "temperatures-a-b-c.csv"),
        ("", "temperatures-thermometer.csv"),
        ("Temperatures-con.CSV", "temperatures-con.csv"),
    ],
)
def test_a_thermometers_file_is_kept_unchanged(write: Write, name: str, kept: str) -> None:
    folder = write({})
    file = Dropped(name, LOGGED, "thermometer")
    filled = fill(folder, read_entry(folder, "river"), [file])
    assert "Night of 2026-05-01: 1.5 °C." in filled.remarks
    writing = prepare(folder, filled.entry)
    assert (writing.problems, len(writing.changes)) == ((), 1)
    write_it(folder, writing)
    assert (folder / "trips/river" / kept).read_bytes() == LOGGED
    assert check_logbook(folder).clean
    again = prepare(folder, replace(read_entry(folder, "river"), dropped=(file,)))
    assert (again.changes, again.problems) == ((), ())
    other = Dropped(name, LOGGED.replace(b"4.5", b"4.6"), "thermometer")
    second = prepare(folder, replace(read_entry(folder, "river"), dropped=(other,)))
    assert [c.path for c in second.changes] == [f"trips/river/{kept[:-4]}-2.csv"]


def test_a_long_name_of_a_thermometers_file_is_cut(write: Write) -> None:
    folder = write({})
    entry = replace(
        read_entry(folder, "river"), dropped=(Dropped("本" * 500 + ".csv", LOGGED, "thermometer"),)
    )
    write_it(folder, prepare(folder, entry))
    assert len(list((folder / "trips/river").glob("temperatures-*.csv"))) == 1


def test_a_thermometer_that_nobody_described_asks_for_its_lines(write: Write) -> None:
    folder = write({})
    content = b"Date/Time,Temp (C)\n2026-05-01 22:00,4.5\n2026-05-02 03:00,1.5\n"
    dropped = Dropped("porch.csv", content, "thermometer")
    entry = fill(folder, read_entry(folder, "river"), [dropped]).entry
    assert entry.dropped == (dropped,)
    writing = prepare(folder, entry)
    assert "once these lines are in tarebook.toml" in writing.problems[0]
    assert writing.paste.startswith("[[logger]]")
    (folder / "tarebook.toml").write_text(writing.paste + "\n")
    writing = prepare(folder, entry)
    assert (writing.problems, writing.paste) == ((), "")
    write_it(folder, writing)
    assert check_logbook(folder).clean
    junk = fill(folder, entry, [Dropped("cat.png", b"\x89PNG\0", "thermometer")])
    assert junk.entry.dropped == (dropped,)
    assert '"cat.png" cannot be read' in junk.remarks[0]


@pytest.mark.parametrize("name", ["lakes", "spreadsheets"])
def test_what_is_read_and_not_changed_is_not_written(tmp_path: Path, name: str) -> None:
    folder = tmp_path / name
    shutil.copytree(LAKES.with_name(name), folder)
    load_logbook(folder)
    with open_for_reading(store_path(folder)) as connection:
        trips = [trip for (trip,) in connection.execute("SELECT trip FROM trip").fetchall()]
    assert trips
    for trip in trips:
        writing = prepare(folder, read_entry(folder, trip))
        assert (writing.changes, writing.problems) == ((), ())
