"""Logbooks of several seasons, drawn at random: things that come, go, return, change.

Everything that may be worn, eaten, carried by another or brought later is; replacements form
chains, rings and many for one.
"""

from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st
from store_drawing import Row, Tables, carried, gear, trip

ITEMS = ("tarp", "tent", "quilt", "Bag", "ärmel", "mug", "book")
SYSTEMS = ("shelter", "shelter", "sleep", "sleep", "clothing", "cook", "leisure")
KINDS = ("base", "base", "base", "worn", "consumable", "vehicle")
STARTS = (
    date(2023, 12, 5),
    date(2024, 1, 20),
    date(2024, 6, 1),
    date(2024, 7, 9),
    date(2024, 8, 30),
    date(2024, 12, 31),
    date(2025, 6, 30),
    date(2025, 7, 1),
    date(2025, 7, 2),
    date(2026, 1, 1),
)


def _gear(draw: st.DrawFn, *, weighed: bool) -> list[Row]:
    grams = st.integers(1, 3_000_000)
    return [
        gear(
            item,
            system,
            draw(grams if weighed else st.none() | grams),
            carried_as=draw(st.sampled_from(KINDS)),
            replaces=draw(st.lists(st.sampled_from(ITEMS), max_size=2, unique=True)),
        )
        for item, system in zip(ITEMS, SYSTEMS, strict=True)
    ]


def _row(draw: st.DrawFn, one: Row) -> Row:
    later = one["start_on"] + timedelta(1)
    return carried(
        one["trip"],
        draw(st.sampled_from(ITEMS)),
        quantity=draw(st.integers(1, 4)),
        weight_mg=draw(st.none() | st.none() | st.integers(1, 3_000_000)),
        carried_as=draw(st.none() | st.sampled_from(KINDS)),
        carried_by=draw(st.sampled_from((None, None, None, "Ann"))),
        bag=draw(st.sampled_from((None, "left", "right"))),
        from_day=draw(st.sampled_from((None, None, None, later))),
    )


@st.composite
def season_books(draw: st.DrawFn, *, weighed: bool = True) -> Tables:
    """The tables of one logbook; ``weighed``: everything has a weight."""
    starts = draw(st.lists(st.sampled_from(STARTS), min_size=2, max_size=7))
    trips = [
        trip(
            f"t{n}",
            start,
            draw(st.sampled_from((0, 1, 2, 3, 3))),
            mode=draw(st.sampled_from((None, "foot", "bike"))),
            latitude=draw(st.sampled_from((None, None, 51.2, -33.5))),
            plan=draw(st.integers(0, 9)) == 0,
        )
        for n, start in enumerate(starts)
    ]
    tables: Tables = {"gear": _gear(draw, weighed=weighed), "trip": trips, "carried": []}
    for one in trips:
        rows: dict[tuple[Any, ...], Row] = {}
        for _ in range(draw(st.integers(0, 8))):
            row = _row(draw, one)
            if row["from_day"] and one["end_on"] < row["from_day"]:
                row["from_day"] = None
            rows.setdefault((row["item"], row["carried_as"], row["bag"], row["from_day"]), row)
        tables["carried"] += rows.values()
    weighed_on = st.sampled_from((date(2024, 6, 1), date(2025, 1, 1)))
    weighings = draw(
        st.lists(
            st.builds(
                dict,
                item=st.sampled_from(ITEMS),
                weighed_on=weighed_on,
                weight_mg=st.integers(1, 3_000_000),
            ),
            max_size=5,
            unique_by=lambda w: (w["item"], w["weighed_on"]),
        )
    )
    tables["weighings"] = weighings
    return tables
