"""Small stores drawn at random, full of what is easily got wrong.

Several rows of one item, blanks, what others carried, days on which a thing came along, weighings
before and after, every kind of use record, plans, southern latitudes, December, day trips, trips
with nothing on them.
"""

from datetime import date, datetime, timedelta
from itertools import groupby
from typing import Any

import duckdb
from hypothesis import strategies as st
from store_asked import AskedStore
from tarebook.analysis.store.opening import create_views
from tarebook.tripdata.contract import BY_NAME
from tarebook.tripdata.schema import store_ddl

Row = dict[str, Any]
Tables = dict[str, list[Row]]
ITEMS = ("tarp", "Bag", "ärmel", "soup.2", "bike-1", "plaster")
TRIPS = ("2019-fell", "Bay", "älv", "zoo", "loch", "a-plan")
SYSTEMS = ("shelter", "sleep", "food", "bike", "first_aid", "clothing")
KINDS = ("base", "worn", "consumable", "vehicle")
ON_THE_HOUR = (0, 8 * 3600, 8 * 3600 + 1, 12 * 3600 - 1, 12 * 3600, 24 * 3600 - 1)


def empty_store(*, declared: bool = False) -> Any:
    """A store in memory, with its views and no rows.

    declared: whether its views are declared alone, as they are when a large store is opened, and
    not worked out, as those of a small one.
    """
    connection = duckdb.connect(config={"python_enable_replacements": "false", "threads": "1"})
    connection.execute(store_ddl())
    if not declared:
        return AskedStore(connection)
    create_views(connection)
    return connection


def fill(connection: Any, tables: Tables) -> None:
    """Put these rows, and no others, into the store; what a row leaves out is blank."""
    emptied = [
        f'DELETE FROM "{name}"'
        for name in (*BY_NAME, "set_aside", "use_not_read", "cells_not_read")
    ]
    connection.execute(";\n".join(emptied))
    for name, rows in tables.items():
        for columns, alike in groupby(rows, key=tuple):
            names = ", ".join(f'"{column}"' for column in columns)
            marks = ", ".join("?" for _ in columns)
            values = [list(row.values()) for row in alike]
            connection.execute(
                f'INSERT INTO "{name}" ({names}) VALUES {", ".join([f"({marks})"] * len(values))}',
                [each for row in values for each in row],
            )


def gear(item: str, system: str = "clothing", weight_mg: int | None = 100_000, **more: Any) -> Row:
    """A gear row."""
    return {
        "item": item,
        "name": item.title(),
        "system": system,
        "weight_mg": weight_mg,
        "carried_as": "base",
        "insurance": False,
        "essential": False,
        "meant_for": ["any"],
        "rated_as": "maker",
        **more,
    }


def trip(name: str, start_on: date, nights: int = 0, **more: Any) -> Row:
    """A trip row."""
    return {
        "trip": name,
        "title": name.title(),
        "start_on": start_on,
        "end_on": start_on + timedelta(nights),
        "people": 1,
        "plan": False,
        **more,
    }


def carried(trip_name: str, item: str, **more: Any) -> Row:
    """A carried row."""
    return {"trip": trip_name, "item": item, "quantity": 1, **more}


def _maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


_mg = st.integers(1, 3_000_000)
_celsius = st.integers(-300, 300).map(lambda tenths: tenths / 10)


@st.composite
def _gear(draw: st.DrawFn) -> list[Row]:
    return [
        gear(
            item,
            draw(st.sampled_from(SYSTEMS)),
            draw(_maybe(_mg)),
            carried_as=draw(st.sampled_from(KINDS)),
            insurance=draw(_maybe(st.booleans())),
            kit=draw(st.sampled_from((None, None, "Odds", "odds"))),
            rated_low_c=draw(_maybe(_celsius)),
            replaces=draw(_maybe(st.lists(st.sampled_from(ITEMS), max_size=2, unique=True))),
        )
        for item in draw(st.lists(st.sampled_from(ITEMS), min_size=2, unique=True))
    ]


@st.composite
def _trips(draw: st.DrawFn) -> list[Row]:
    days = st.dates(date(2019, 11, 20), date(2020, 3, 10))
    return [
        trip(
            name,
            draw(days),
            draw(st.integers(0, 4)),
            mode=draw(_maybe(st.sampled_from(("foot", "bike")))),
            latitude=draw(_maybe(st.sampled_from((-33.5, 0.0, 51.2)))),
            use_record=draw(st.sampled_from((None, None, "full", "all_but", "partial", "none"))),
            plan=name == "a-plan",
        )
        for name in draw(st.lists(st.sampled_from(TRIPS), min_size=1, max_size=4, unique=True))
    ]


def _day(draw: st.DrawFn, row: Row, after: int = 0) -> date:
    length = (row["end_on"] - row["start_on"]).days
    day: date = row["start_on"] + timedelta(draw(st.integers(after, length)))
    return day


@st.composite
def _carried(draw: st.DrawFn, one: Row, items: list[str]) -> Row:
    from_day = _day(draw, one) if draw(st.booleans()) else None
    first = (from_day - one["start_on"]).days if from_day else 0
    until_day = _day(draw, one, first) if draw(st.booleans()) else None
    return carried(
        one["trip"],
        draw(st.sampled_from(items)),
        quantity=draw(st.integers(1, 3)),
        weight_mg=draw(_maybe(_mg)),
        carried_as=draw(_maybe(st.sampled_from(KINDS))),
        carried_by=draw(st.sampled_from((None, None, "Ann"))),
        bag=draw(st.sampled_from((None, "Left bag", "left BAG", "top"))),
        from_day=from_day,
        until_day=until_day,
        used=draw(st.sampled_from((None, None, 0, 1, 3))),
        brought_home_mg=draw(_maybe(st.integers(0, 1000))),
    )


@st.composite
def _reading(draw: st.DrawFn, one: Row) -> Row:
    day = one["start_on"] + timedelta(draw(st.integers(-2, 6)))
    second = draw(st.sampled_from(ON_THE_HOUR) | st.integers(0, 86_399))
    return {
        "trip": one["trip"],
        "read_at": datetime.combine(day, datetime.min.time()) + timedelta(seconds=second),
        "temperature_c": draw(_celsius),
        "spot": draw(st.sampled_from(("camp", "camp", "camp", "shelter", "trail"))),
    }


def _unique(draw: st.DrawFn, rows: Any, *key: str, most: int) -> list[Row]:
    found: list[Row] = draw(
        st.lists(rows, max_size=most, unique_by=lambda r: tuple(r[k] for k in key))
    )
    return found


@st.composite
def _by_day(draw: st.DrawFn, one: Row, **cells: Any) -> Row:
    return {
        "trip": one["trip"],
        "day": _day(draw, one),
        **{name: draw(strategy) for name, strategy in cells.items()},
    }


@st.composite
def logbooks(draw: st.DrawFn) -> Tables:
    """The tables of one small logbook, keys unique and days inside their trips."""
    owned, trips = draw(_gear()), draw(_trips())
    items = [g["item"] for g in owned]
    tables: Tables = {"gear": owned, "trip": trips}
    weighed = st.builds(
        dict,
        item=st.sampled_from(items),
        weight_mg=_mg,
        weighed_on=st.dates(date(2019, 11, 20), date(2020, 3, 10)),
    )
    tables["weighings"] = _unique(draw, weighed, "item", "weighed_on", most=4)
    for one in trips:
        mine = _unique(draw, _carried(one, items), "item", "carried_as", "bag", "from_day", most=7)
        tables.setdefault("carried", []).extend(mine)
        along = sorted({row["item"] for row in mine})
        if along:
            noted = st.builds(
                dict,
                trip=st.just(one["trip"]),
                item=st.sampled_from(along),
                day=st.none() | st.just(_day(draw, one)),
                times=st.integers(0, 2),
                used_for=_maybe(st.sampled_from(SYSTEMS)),
            )
            tables.setdefault("used", []).extend(
                _unique(draw, noted, "item", "day", "used_for", most=2)
            )
        tables.setdefault("temperatures", []).extend(draw(st.lists(_reading(one), max_size=6)))
        moved = _by_day(
            one,
            mode=_maybe(st.sampled_from(("foot", "bike"))),
            distance_mm=st.integers(0, 10**8),
            ascent_mm=_maybe(st.integers(0, 10**6)),
            hours=_maybe(st.integers(0, 240).map(lambda tenths: tenths / 10)),
        )
        tables.setdefault("distances", []).extend(_unique(draw, moved, "day", "mode", most=3))
        weather = _by_day(
            one,
            wet=_maybe(st.booleans()),
            rain_mm=_maybe(st.sampled_from((0.0, 0.99, 1.0, 7.5))),
            low_c=_maybe(_celsius),
            conditions=_maybe(st.lists(st.sampled_from(("snow", "bugs")), max_size=2)),
        )
        tables.setdefault("weather", []).extend(_unique(draw, weather, "day", most=3))
        felt = _by_day(
            one,
            aspect=st.sampled_from(("sleep", "sleep", "camp", "fun")),
            score=st.integers(1, 5),
            warmth=_maybe(st.integers(-3, 3)),
        )
        tables.setdefault("comfort", []).extend(_unique(draw, felt, "day", "aspect", most=3))
        if along:
            broke = _by_day(one, item=st.sampled_from(along), severity=st.just("nuisance"))
            tables.setdefault("failures", []).extend(draw(st.lists(broke, max_size=2)))
    pairs = sorted({(row["trip"], row["item"]) for row in tables["carried"]})
    if pairs:
        unread = st.lists(st.sampled_from(pairs), max_size=2)
        tables["use_not_read"] = [{"trip": t, "item": i} for t, i in draw(unread)]
    told = st.builds(
        dict,
        file=st.sampled_from(("trip.csv", "trips/zoo/used.csv")),
        line=st.integers(2, 4),
        column=st.sampled_from(("day", "item")),
        value=st.just("?"),
        problem=st.just("no"),
        raw=st.just("?"),
        trip=_maybe(st.sampled_from(TRIPS)),
    )
    tables["set_aside"] = draw(st.lists(told, max_size=4))
    return tables
