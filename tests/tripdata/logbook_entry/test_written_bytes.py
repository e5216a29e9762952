"""What a form changes in a file of a trip, and that every other byte of it stays."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from entries import CARRIED, FIRST, along, amount, changed, on_day, tables_of, without
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.logbook_entry import (
    Failure,
    Leg,
    Score,
    TripEntry,
    Wish,
    prepare,
    read_entry,
)

Write = Callable[..., Path]


def all_but(entry: TripEntry) -> TripEntry:
    return replace(entry, use_record="all_but")


def stove_packed(entry: TripEntry) -> TripEntry:
    return along(all_but(entry), "stove", used=False)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        pytest.param(b"item,used\ntent,\nstove,\n", b"item,used\ntent,\nstove,no\n", id="plain"),
        pytest.param(
            b"item,used\r\ntent,\r\nstove,", b"item,used\r\ntent,\r\nstove,no", id="no end"
        ),
        pytest.param(b"item,used\rtent,\rstove,\r", b"item,used\rtent,\rstove,no\r", id="old mac"),
        pytest.param(
            b"item,used\r\ntent,\nstove,\r\n\n  \r\n",
            b"item,used\r\ntent,\nstove,no\r\n\n  \r\n",
            id="mixed ends and blank lines",
        ),
        pytest.param(
            b'sep=;\nItem; used ;mine\n tent ;;"a"\nstove;;x\n',
            b'sep=;\nItem; used ;mine\n tent ;;"a"\nstove;no;x\n',
            id="separator declared",
        ),
        pytest.param(
            b"sep=|\nitem|used\ntent|\nstove|\n",
            b"sep=|\nitem|used\ntent|\nstove|no\n",
            id="separator of one's own",
        ),
        pytest.param(
            b'"item"\t"used"\n"tent"\t""\n"stove"\t""\n',
            b'"item"\t"used"\n"tent"\t""\n"stove"\t"no"\n',
            id="all quoted",
        ),
        pytest.param(
            b'\xef\xbb\xbfitem,used,note\ntent,,"two\nlines"\nstove,,"a ""b"""\n',
            b'\xef\xbb\xbfitem,used,note\ntent,,"two\nlines"\nstove,no,"a ""b"""\n',
            id="BOM, newlines in cells",
        ),
        pytest.param(
            "item,used,note\ntent,,é\nstove,,à\n".encode("cp1252"),
            "item,used,note\ntent,,é\nstove,no,à\n".encode("cp1252"),
            id="Windows-1252",
        ),
        pytest.param(
            b"\xff\xfe" + "item,used\ntent,\nstove,\n".encode("utf-16-le"),
            b"\xff\xfe" + "item,used\ntent,\nstove,no\n".encode("utf-16-le"),
            id="UTF-16",
        ),
        pytest.param(
            b"\xfe\xff" + "item,used\ntent,\nstove,\n".encode("utf-16-be"),
            b"\xfe\xff" + "item,used\ntent,\nstove,no\n".encode("utf-16-be"),
            id="UTF-16, the other way",
        ),
        pytest.param(
            b"item,colour\ntent,red\nstove\n",
            b"item,colour,used\ntent,red\nstove,,no\n",
            id="column that is needed",
        ),
        pytest.param(
            b"item,,used,,\ntent,,,,\nstove,,,,\n,,,,\n",
            b"item,,used,,\ntent,,,,\nstove,,no,,\n,,,,\n",
            id="trailing blanks",
        ),
        pytest.param(
            b"item,used\ntent,\nstove,yes\n", b"item,used\ntent,\nstove,no\n", id="changed"
        ),
        pytest.param(
            b'item,used,note\ntent,,5" peg\nstove,,=1+1\n',
            b'item,used,note\ntent,,5" peg\nstove,no,=1+1\n',
            id="a mark in a cell, a formula",
        ),
    ],
)
def test_one_cell_changes_and_nothing_else(write: Write, before: bytes, after: bytes) -> None:
    folder = write({CARRIED: before})
    former = {p: p.read_bytes() for p in folder.rglob("*.csv")}
    writing = changed(folder, stove_packed)
    assert (folder / CARRIED).read_bytes() == after
    assert [c.path for c in writing.changes] == ["trip.csv", CARRIED]
    assert check_logbook(folder).clean
    for path, data in former.items():
        if path.name not in ("trip.csv", "carried.csv"):
            assert path.read_bytes() == data


def test_what_is_said_already_is_not_written(write: Write) -> None:
    files: dict[str, str | bytes] = {
        CARRIED: "item,used,quantity,weight_oz,note\nTENT,x,1, 42.0,\nfood,2,,,-1\n",
        "trips/river/distances.csv": "day,mode,distance_km\n2026-05-01,Foot,12.50\n",
        "trips/river/weather.csv": "day,wet,low_f,conditions\n2026-05-01,N,41.00,bugs; snow\n",
        "trips/river/comfort.csv": "day,score,warmth\n2026-05-01,4,\u22121\n",
        "trips/river/failures.csv": "item,day,severity\ntent,2026-05-02,Lost use\n",
        "trips/river/wished.csv": "what,how_much\nsocks,Badly\n",
    }
    writing = prepare(write(files), read_entry(write(files), "river"))
    assert (writing.changes, writing.problems) == ((), ())


def test_a_whole_evening_from_nothing(write: Write) -> None:
    folder = write({})

    def evening(entry: TripEntry) -> TripEntry:
        entry = replace(
            along(along(along(all_but(entry), "tent"), "stove", used=False), "food"),
            failures=(Failure("tent", FIRST, "nuisance", "a pole; bent"),),
            wishes=(Wish(what='"thing", new\nand dry', how_much="much"), Wish(item="jacket")),
            note="+ good",
        )
        entry = along(entry, "food", brought_home=amount("0.25 kg"))
        entry = on_day(
            entry,
            FIRST,
            legs=(Leg("foot", amount("7.5 mi"), amount("300 m")),),
            low=amount("41 f"),
            rain=amount("0.1 in"),
            wind=amount("10 kmh"),
            conditions="none",
            scores=(Score("sleep", 4, -1), Score("camp", 5, None, "so")),
        )
        return entry

    writing = changed(folder, evening)
    assert check_logbook(folder).clean
    trip = folder / "trips" / "river"
    assert (trip / "carried.csv").read_text().splitlines()[1:] == [
        "tent,,,,,,,,,,",
        "stove,,,,,,,,no,,",
        "food,,,,,,,,,250,",
    ]
    assert tables_of((trip / "distances.csv").read_bytes())[1] == [
        *("2026-05-01", "foot", "12.07008", "300", "", "")
    ]
    assert tables_of((trip / "weather.csv").read_bytes()) == [
        ["day", "wet", "rain_mm", "wind_kmh", "low_c", "high_c", "conditions"],
        ["2026-05-01", "", "2.54", "10", "5", "", "none"],
    ]
    assert tables_of((trip / "wished.csv").read_bytes())[1:] == [
        ['"thing", new\nand dry', "", "", "much", ""],
        ["", "jacket", "", "", ""],
    ]
    assert (folder / "trip.csv").read_text() == (
        "trip,start_on,end_on,mode,use_record,note\n"
        "river,2026-05-01,2026-05-04,foot,all_but,+ good\n"
        "coast,2026-06-10,2026-06-12,bike\n"
    )
    added = {c.path: (c.existed, c.added, c.changed, c.removed) for c in writing.changes}
    assert added == {
        "trip.csv": (True, 0, 1, 0),
        CARRIED: (False, 3, 0, 0),
        "trips/river/comfort.csv": (False, 2, 0, 0),
        "trips/river/distances.csv": (False, 1, 0, 0),
        "trips/river/failures.csv": (False, 1, 0, 0),
        "trips/river/weather.csv": (False, 1, 0, 0),
        "trips/river/wished.csv": (False, 2, 0, 0),
    }
    again = prepare(folder, read_entry(folder, "river"))
    assert (again.changes, again.problems) == ((), ())


def test_rows_change_where_they_stand(write: Write) -> None:
    folder = write(
        {
            "carried.csv": "trip;item;used\nriver;tent;\ncoast;stove;\nriver;stove;\n;;\n",
            "trips/river/carried-more.csv": "item,trip\nfood,river\n",
        }
    )
    changed(folder, lambda e: along(stove_packed(without(e, "tent")), "jacket", bag="top"))
    assert (folder / "carried.csv").read_text() == (
        "trip;item;used;bag\ncoast;stove;\nriver;stove;no\nriver;jacket;;top\n;;\n"
    )
    assert (folder / "trips/river/carried-more.csv").read_text() == "item,trip\nfood,river\n"
    assert not (folder / CARRIED).exists()


def test_new_rows_go_to_the_trips_own_file(write: Write) -> None:
    root = "trip,item\nriver,tent\nriver,stove\n"
    folder = write({"carried.csv": root, CARRIED: "item\nfood\n\ntotal\n"})
    writing = changed(folder, lambda e: along(e, "jacket"))
    assert (folder / "carried.csv").read_text() == root
    assert (folder / CARRIED).read_text() == "item\nfood\njacket\n\ntotal\n"
    assert [c.path for c in writing.changes] == [CARRIED]


def test_a_file_keeps_its_unit_its_comma_and_its_dates(write: Write) -> None:
    folder = write(
        {
            "tarebook.toml": '[reading]\ndates = "DD.MM.YYYY"\n[display]\nmass = "oz"\n',
            "trips/river/weather.csv": "day;low_f;rain_in\n1.5.2026;41,5;\n2.5.2026;;\n",
            "trips/river/distances.csv": "day;distance_mi\n2026-05-01;7,25\n",
            CARRIED: "item;brought_home_lb\nfood;1,5\ntent;\n",
        }
    )

    def change(entry: TripEntry) -> TripEntry:
        entry = on_day(entry, date(2026, 5, 2), low=amount("-3.5 c"), rain=amount("5.08 mm"))
        entry = on_day(entry, date(2026, 5, 3), high=amount("70.5 f"))
        legs = (Leg("", amount("10.0 km")),)
        return along(
            on_day(entry, date(2026, 5, 4), legs=legs), "food", brought_home=amount("20 oz")
        )

    changed(folder, change)
    assert (folder / "trips/river/weather.csv").read_text() == (
        "day;low_f;rain_in;high_c\n1.5.2026;41,5;\n2.5.2026;25,7;0,2\n03.05.2026;;;21,388889\n"
    )
    assert (folder / "trips/river/distances.csv").read_text() == (
        "day;distance_mi\n2026-05-01;7,25\n2026-05-04;6,213712\n"
    )
    assert (folder / CARRIED).read_text() == "item;brought_home_lb\nfood;1,25\ntent;\n"
    assert read_entry(folder, "river").days[3].legs[0].distance == amount("6.213712 mi")


def test_rows_laid_out_are_filled_in_and_the_rest_of_them_stay(write: Write) -> None:
    folder = write(
        {
            "trips/river/distances.csv": "day,mode,distance_km\n2026-05-01,foot,\n"
            "2026-05-02,foot,\n",
            "trips/river/comfort.csv": "day,aspect,score\n2026-05-01,sleep,\n2026-05-02,sleep,\n",
        }
    )
    score, leg = Score("sleep", 3), Leg("", amount("8 km"))
    changed(folder, lambda e: on_day(e, FIRST, legs=(leg,), scores=(score,)))
    assert (folder / "trips/river/distances.csv").read_text() == (
        "day,mode,distance_km\n2026-05-01,foot,8\n2026-05-02,foot,\n"
    )
    assert (folder / "trips/river/comfort.csv").read_text() == (
        "day,aspect,score\n2026-05-01,sleep,3\n2026-05-02,sleep,\n"
    )
    changed(folder, lambda e: on_day(e, FIRST, scores=(Score("sleep"),)))
    assert "2026-05-01,sleep,\n" in (folder / "trips/river/comfort.csv").read_text()


def test_other_names_of_a_thing_are_left_as_they_are(write: Write) -> None:
    folder = write(
        {
            "gear.csv": "item,name,system,weight_g,formerly\n"
            "tent,The Big Tent,shelter,1200,\nstove,Stove,cook,90,burner\n",
            CARRIED: "item,used\nthe big tent,\nBurner,\n",
        }
    )
    changed(folder, stove_packed)
    assert (folder / CARRIED).read_text() == "item,used\nthe big tent,\nBurner,no\n"
    changed(folder, lambda e: along(without(e, "stove"), "burner"))
    assert (folder / CARRIED).read_text() == "item,used\nthe big tent,\nBurner,\n"


def test_a_character_that_the_encoding_lacks_is_refused(write: Write) -> None:
    folder = write({CARRIED: "item,note\ntent,é\n".encode("cp1252")})
    entry = along(read_entry(folder, "river"), "tent", note="→ mended")
    (problem,) = prepare(folder, entry).problems
    assert problem == (
        f'{CARRIED}: its encoding, Windows-1252, has no "→"; save the file as CSV UTF-8, or leave '
        "that character out"
    )


@pytest.mark.parametrize(
    "text",
    ['a, "b"', "two\nlines", "=1+1", "@x", "+1", "-", "a\u2028b", "../x", "x;y\tz", "ünï", "sep=;"],
)
def test_any_text_comes_out_as_it_went_in(write: Write, loaded: Any, text: str) -> None:
    folder = write({CARRIED: "item,note\ntent,\n"})
    writing = changed(folder, lambda e: along(e, "tent", note=text))
    assert [r for r in writing.remarks if "as a formula does" in r] == list(writing.remarks)
    assert bool(writing.remarks) == (text[0] in "=@+-")
    _, store = loaded({CARRIED: (folder / CARRIED).read_bytes()})
    assert store.rows("carried", "note") == [(text,)]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("day;distance_km;ascent_m\n", "2026-05-01;7,5;300"),
        ("day;distance_km;ascent_m\n2026-05-02;8;\n", "2026-05-01;7,5;300"),
        ("day;distance_km;ascent_m\n2026-05-02;8,2;\n", "2026-05-01;7,5;300"),
        ("day;distance_km;ascent_m\n2026-05-02;8.2;\n", "2026-05-01;7.5;300"),
        ("day\tdistance_km\tascent_m\n2026-05-02\t8\t\n", "2026-05-01\t7.5\t300"),
        ("day,distance_km,ascent_m\n2026-05-02,8,\n", "2026-05-01,7.5,300"),
    ],
)
def test_the_decimal_mark_of_a_file(write: Write, before: str, after: str) -> None:
    name = "trips/river/distances.csv"
    folder = write({name: before})
    legs = (Leg("", amount("7.5 km"), amount("300 m")),)
    changed(folder, lambda e: on_day(e, FIRST, legs=legs))
    assert (folder / name).read_text() == f"{before}{after}\n"
    assert check_logbook(folder).clean
    assert read_entry(folder, "river").days[0].legs == legs


def test_amounts_are_told_with_their_unit(write: Write) -> None:
    weather = "trips/river/weather.csv"
    folder = write({CARRIED: "item,weight_oz\ntent,42\n", weather: "day,low_f\n2026-05-01,41\n"})

    def change(entry: TripEntry) -> TripEntry:
        entry = along(along(entry, "tent", weight=amount("40 oz")), "stove", weight=amount("3 oz"))
        entry = along(entry, "stove", quantity=2)
        entry = on_day(entry, FIRST, low=amount("39 f"), wind=amount("12 kmh"))
        return on_day(entry, date(2026, 5, 2), low=amount("5 c"))

    lines = [line for c in changed(folder, change).changes for line in c.lines]
    assert '"Tent": weight 40 oz (was 42 oz)' in lines
    assert 'new: "Stove", quantity 2, weight 3 oz' in lines
    assert "2026-05-01: wind 12 km/h (was blank); low 39 °F (was 41 °F)" in lines
    assert "new: 2026-05-02, low 41 °F" in lines


def test_things_are_told_by_their_names(write: Write) -> None:
    pots = "pot-a,The pot,cook,90\npot-b,The pot,cook,80\n"
    gear = f"item,name,system,weight_g\n{pots}stove-2,Little stove,cook,70\nmat,,sleep,400\n"
    folder = write({"gear.csv": gear, CARRIED: "item,used\npot-b,\n"})

    def change(entry: TripEntry) -> TripEntry:
        entry = along(all_but(entry), "pot-b", used=False)
        entry = along(along(entry, "pot-a"), "stove-2")
        return replace(entry, failures=(Failure("stove-2"),), wishes=(Wish("mat"),))

    lines = [line for c in changed(folder, change).changes for line in c.lines]
    assert [line for line in lines if "pot" in line or "mat" in line or "stove" in line] == [
        '"The pot (pot-b)": stayed packed (was: not said)',
        'new: "The pot (pot-a)"',
        'new: "Little stove"',
        'new: "Little stove", a nuisance',
        'new: "mat"',
    ]


@pytest.mark.parametrize("text", ["a\0b", "a\ud800b"])
def test_what_no_text_file_holds_is_refused(write: Write, text: str) -> None:
    folder = write({CARRIED: "item,note\ntent,\n"})
    writing = prepare(folder, along(read_entry(folder, "river"), "tent", note=text))
    assert len(writing.problems) == 1
    assert "NUL" in writing.problems[0] or "UTF-8" in writing.problems[0]


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({CARRIED: "item,used,used\ntent,,\n"}, "mend its header first"),
        ({CARRIED: b"item\0used\n"}, "mend it first: it is not a text file"),
        ({CARRIED: ""}, "mend it first: it is empty"),
    ],
)
def test_a_file_that_cannot_be_read_is_not_written(
    write: Write, files: dict[str, str | bytes], said: str
) -> None:
    folder = write(files)
    problems = prepare(folder, along(read_entry(folder, "river"), "stove", used=False)).problems
    assert any(said in problem and CARRIED in problem for problem in problems), problems


def test_a_column_that_would_catch_stray_cells_is_refused(write: Write) -> None:
    folder = write({"carried.csv": "trip,item\nriver,tent\ncoast,stove,yes\n"})
    problems = prepare(
        folder, along(all_but(read_entry(folder, "river")), "tent", used=False)
    ).problems
    assert problems == ("carried.csv: rows of other trips would not be read as before",)


def test_a_large_file_at_the_top(write: Write) -> None:
    trips = "".join(f"t{n},2026-05-01,2026-05-04\n" for n in range(40))
    gear = "".join(f"i{n},other,5\n" for n in range(1000))
    rows = [f"t{n % 40},i{n // 40},,\n" for n in range(40_000)]
    folder = write(
        {
            "gear.csv": "item,system,weight_g\n" + gear,
            "trip.csv": "trip,start_on,end_on\n" + trips,
            "carried.csv": "trip,item,bag,used\n" + "".join(rows),
        }
    )
    changed(folder, lambda e: without(along(all_but(e), "i7", used=False), "i9"), "t5")
    rows[5 + 40 * 7] = "t5,i7,,no\n"
    del rows[5 + 40 * 9]
    assert (folder / "carried.csv").read_text() == "trip,item,bag,used\n" + "".join(rows)
