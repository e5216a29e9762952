"""Whatever goes into an entry comes out of the store, and all other cells stay as they were."""

import codecs
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import kit
import pytest
from entries import FIRST, tables_of
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from tarebook.tripdata.logbook_entry import (
    Along,
    Amount,
    Day,
    Failure,
    Leg,
    Score,
    TripEntry,
    Wish,
    prepare,
    read_entry,
    write,
)
from tarebook.tripdata.store import load_logbook, store_path

ITEMS = ("tent", "quilt", "stove", "food", "jacket")
DAYS = tuple(FIRST + timedelta(days=n) for n in range(4))
# NIST Handbook 44 appendix C: 1 oz = 28.349523125 g, 1 lb = 453.59237 g, 1 mi = 1.609344 km,
# 1 ft = 0.3048 m, 1 in = 25.4 mm; the store has mg, mm of length, mm of rain, km/h, degrees C.
STORED = {
    "g": Decimal(1000),
    "kg": Decimal(10**6),
    "oz": Decimal("28349.523125"),
    "lb": Decimal("453592.37"),
    "km": Decimal(10**6),
    "mi": Decimal(1609344),
    "m": Decimal(1000),
    "ft": Decimal("304.8"),
    "mm": Decimal(1),
    "in": Decimal("25.4"),
    "kmh": Decimal(1),
    "mph": Decimal("1.609344"),
}


def stored(amount: Amount | None) -> Any:
    """What the store has of an amount, worked out here."""
    if amount is None:
        return None
    if amount.unit in ("c", "f"):
        celsius = amount.value if amount.unit == "c" else (amount.value - 32) / Decimal("1.8")
        return round(float(celsius), 4)
    number = amount.value * STORED[amount.unit]
    if amount.unit in ("mm", "in", "kmh", "mph"):
        return round(float(number), 4)
    return int(number.quantize(Decimal(1), ROUND_HALF_UP))


def found(value: Any) -> Any:
    """The same of a value of the store."""
    return round(value, 4) if isinstance(value, float) else value


def amounts(units: str, low: int, high: int) -> st.SearchStrategy[Amount]:
    """Amounts as they are typed, in any of some units."""
    numbers = st.decimals(low, high, places=2) | st.integers(low, high).map(Decimal)
    return st.builds(Amount, numbers, st.sampled_from(units.split()))


TEXT = st.text(
    st.sampled_from('ab,;"\t\n|=+-@ .5éß✓\u2028')
    | st.characters(codec="utf-8", exclude_characters="\0\r"),
    max_size=12,
).map(str.strip)
SAID = st.none() | TEXT.map(lambda text: text or None)
USES = st.none() | st.booleans() | st.integers(2, 9)


@dataclass(frozen=True)
class Dialect:
    """How somebody's spreadsheet writes a file."""

    delimiter: str
    end: str
    encoding: str
    mark: bytes
    units: tuple[str, str, str]
    dotted: bool


DIALECTS = st.builds(
    Dialect,
    st.sampled_from(",;\t"),
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.just("utf-8"),
    st.sampled_from([b"", codecs.BOM_UTF8]),
    st.tuples(*map(st.sampled_from, (["g", "oz"], ["c", "f"], ["km", "mi"]))),
    st.booleans(),
) | st.builds(
    Dialect,
    st.sampled_from(",;\t"),
    st.sampled_from(["\n", "\r\n"]),
    st.just("utf-16-le"),
    st.just(codecs.BOM_UTF16_LE),
    st.just(("kg", "f", "mi")),
    st.booleans(),
)


@st.composite
def logbooks(draw: st.DrawFn) -> tuple[Dialect, kit.Files]:
    """The good logbook with files of its trip in some dialect; columns of one's own among them."""
    how = draw(DIALECTS)
    mass, degrees, length = how.units
    day = DAYS[1].strftime("%d.%m.%Y") if how.dotted else DAYS[1].isoformat()
    own = draw(st.lists(TEXT, min_size=3, max_size=3))
    listed = draw(st.lists(st.sampled_from(ITEMS), unique=True, max_size=3))
    rows = [[item, own[0], "", "", own[1]] for item in listed]
    tables = {
        "carried": [["item", "mine", "used", f"brought_home_{mass}", "Colour"], *rows],
        "weather": [["day", f"low_{degrees}", "mine"], [day, "", own[2]], ["", "", ""]],
        "distances": [[f"distance_{length}", "day", "mode"], ["", day, "foot"]],
    }
    files: kit.Files = {"tarebook.toml": '[reading]\ndates = "DD.MM.YYYY"\n'}
    for table in draw(st.sets(st.sampled_from(sorted(tables)))):
        text = kit.csv_text(tables[table], how.delimiter, how.end)
        files[f"trips/river/{table}.csv"] = how.mark + text.encode(how.encoding)
    return how, files


DAYS_SAID = st.builds(
    dict,
    low=st.none() | amounts("c f", -40, 50),
    high=st.none() | amounts("c f", -40, 50),
    rain=st.none() | amounts("mm in", 0, 30),
    wind=st.none() | amounts("kmh mph", 0, 99),
    wet=st.none() | st.booleans(),
    conditions=st.sampled_from([None, "none", "snow; bugs"]),
    legs=st.lists(
        st.builds(
            Leg,
            st.sampled_from(["foot", "bike", ""]),
            amounts("km mi", 0, 100),
            st.none() | amounts("m ft", 0, 3000),
            st.none() | st.decimals(0, 24, places=1),
        ),
        max_size=2,
        unique_by=lambda leg: leg.mode or "foot",
    ).map(tuple),
    scores=st.lists(
        st.builds(
            Score,
            st.sampled_from(["sleep", "camp", "moving", "fun"]),
            st.integers(1, 5),
            st.none() | st.integers(-3, 3),
            SAID,
        ),
        max_size=2,
        unique_by=lambda score: score.aspect,
    ).map(tuple),
)
ROWS = st.builds(
    Along,
    st.sampled_from(ITEMS),
    used=USES,
    quantity=st.none() | st.integers(1, 20),
    bag=st.sampled_from([None, "front", 'back, "big"']),
    from_day=st.none() | st.sampled_from(DAYS),
    brought_home=st.none() | amounts("g kg oz lb", 0, 90),
    note=SAID,
)


@st.composite
def changes(draw: st.DrawFn) -> Callable[[TripEntry], TripEntry]:
    """A change of an entry, drawn whole."""
    rows = draw(st.lists(ROWS, max_size=5, unique_by=lambda a: (a.item, a.bag, a.from_day)))
    said = {day: draw(DAYS_SAID) for day in draw(st.sets(st.sampled_from(DAYS), max_size=2))}
    failures = st.builds(Failure, st.sampled_from(ITEMS), st.sampled_from(DAYS), what=SAID)
    wishes = st.builds(Wish, what=TEXT.filter(bool), how_much=st.sampled_from([None, "much"]))
    more = {
        "use_record": draw(st.sampled_from(["all_but", "full", "partial"])),
        "note": draw(SAID),
        "people": draw(st.none() | st.integers(1, 9)),
        "elevation": draw(st.none() | amounts("m ft", 0, 3000)),
        "along": tuple(rows),
        "failures": tuple(draw(st.lists(failures, max_size=2))),
        "wishes": tuple(draw(st.lists(wishes, max_size=2))),
    }

    def change(entry: TripEntry) -> TripEntry:
        days = (Day(d.day, **said[d.day]) if d.day in said else d for d in entry.days)
        return replace(entry, days=tuple(days), **more)

    return change


def in_store(store: kit.Store, query: str) -> Counter[tuple[Any, ...]]:
    return Counter(tuple(map(found, row)) for row in store.ask(query))


def prove(entry: TripEntry, store: kit.Store) -> None:
    """Everything that an entry says is what the store has, and no more."""
    of_trip = "WHERE trip = 'river'"
    assert in_store(
        store,
        "SELECT item, used, quantity, bag, from_day, brought_home_mg, note FROM carried " + of_trip,
    ) == Counter(
        (
            a.item,
            None if a.used is None else int(a.used),
            a.quantity or 1,
            a.bag,
            a.from_day,
            stored(a.brought_home),
            a.note,
        )
        for a in entry.along
    )
    assert in_store(
        store,
        "SELECT day, coalesce(mode, 'foot'), distance_mm, ascent_mm, hours FROM distances "
        + of_trip,
    ) == Counter(
        (
            d.day,
            leg.mode or "foot",
            stored(leg.distance),
            stored(leg.ascent),
            None if leg.hours is None else float(leg.hours),
        )
        for d in entry.days
        for leg in d.legs
    )
    weather = "SELECT day, low_c, high_c, rain_mm, wind_kmh, wet, conditions::VARCHAR FROM weather "
    words = {None: None, "none": "[]", "snow; bugs": "[snow, bugs]"}
    said = (
        (
            d.day,
            *map(stored, (d.low, d.high, d.rain, d.wind)),
            d.wet,
            words[d.conditions],
        )
        for d in entry.days
    )
    assert in_store(store, weather + of_trip) == Counter(
        row for row in said if any(cell is not None for cell in row[1:])
    )
    assert in_store(
        store, "SELECT day, aspect, score, warmth, note FROM comfort " + of_trip
    ) == Counter((d.day, s.aspect, s.score, s.warmth, s.note) for d in entry.days for s in d.scores)
    assert in_store(store, "SELECT item, day, what FROM failures " + of_trip) == Counter(
        (f.item, f.day, f.what) for f in entry.failures
    )
    assert in_store(store, "SELECT what, how_much FROM wished " + of_trip) == Counter(
        (w.what, w.how_much) for w in entry.wishes
    )
    assert in_store(
        store, "SELECT use_record, note, people, elevation_mm FROM trip " + of_trip
    ) == Counter([(entry.use_record, entry.note, entry.people or 1, stored(entry.elevation))])


def own_cells(folder: Path, name: str, delimiter: str) -> Counter[tuple[str, ...]]:
    """The cells of a file in columns of which no form speaks, by the thing or day of their row."""
    path = folder / name
    if not path.is_file():
        return Counter()
    header, *rows = tables_of(path.read_bytes(), delimiter)
    own = [header.index(column) for column in ("mine", "Colour") if column in header]
    key = header.index("item" if "item" in header else "day")
    cells = ([row[at] if at < len(row) else "" for at in (key, *own)] for row in rows if row)
    return Counter(tuple(each) for each in cells if any(each[1:]))


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "factors of ounces, pounds, miles, feet and inches in generated forms",
)
# A failure is shown as it was found: to make it small, hundreds of logbooks would be written.
@settings(max_examples=20, phases=(Phase.generate,))
@given(made=logbooks(), change=changes())
def test_what_goes_in_comes_out(made: tuple[Dialect, kit.Files], change: Any) -> None:
    how, files = made
    with tempfile.TemporaryDirectory() as work:
        folder = kit.write(Path(work) / "logbook", kit.GOOD | files)
        entry = change(read_entry(folder, "river"))
        names = [f"trips/river/{table}.csv" for table in ("carried", "weather", "distances")]
        before = {name: own_cells(folder, name, how.delimiter) for name in names}
        writing = prepare(folder, entry)
        assert writing.problems == ()
        write(folder, writing)
        findings = load_logbook(folder)
        assert findings.clean
        prove(entry, kit.Store(store_path(folder)))
        for name in names[1:]:
            if name not in files:
                continue
            assert own_cells(folder, name, how.delimiter) == before[name]
        listed = {a.item for a in entry.along}
        if names[0] in files:
            assert own_cells(folder, names[0], how.delimiter) == Counter(
                {row: n for row, n in before[names[0]].items() if row[0] in listed}
            )
        again = prepare(folder, read_entry(folder, "river"))
        assert (again.changes, again.problems) == ((), ())


def test_the_oracle_knows_the_factors() -> None:
    # 2 lb 3 oz are 35 oz; 98.6 degrees Fahrenheit are 37 Celsius (definition of the scale).
    assert stored(Amount(Decimal(35), "oz")) == stored(Amount(Decimal("2.1875"), "lb")) == 992233
    assert stored(Amount(Decimal("98.6"), "f")) == 37.0
    assert date(2026, 5, 1) == FIRST
