"""Base weight trip by trip and season by season, against pandas and cases worked by hand."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.base_weight.outputs import ENTRIES
from tarebook.analysis.base_weight.page.words import WHY_LEFT_OUT
from tarebook.analysis.base_weight.season_change import season_change
from tarebook.analysis.base_weight.trends import base_weight_trends
from tarebook.analysis.base_weight.trip_weights import Selection, trip_weights
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.errors import QuestionError
from trend_books import season_books

BOOKS = settings(
    max_examples=15,
)
EVERY = Selection()


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def base_rows(tables: Tables) -> pd.DataFrame:
    """Every row that is base and on me at the start, weighed by the rules of the logbook."""
    rows = pd.DataFrame(
        tables["carried"],
        columns=["trip", "item", "quantity", "weight_mg", "carried_as", "carried_by", "from_day"],
    )
    trips = pd.DataFrame(tables["trip"])[["trip", "start_on"]]
    owned = pd.DataFrame(tables["gear"])[["item", "name", "system", "weight_mg", "carried_as"]]
    rows = rows.merge(trips, on="trip").merge(owned, on="item", suffixes=("", "_gear"))
    kind = rows["carried_as"].fillna(rows["carried_as_gear"])
    here = rows["from_day"].isna() | (rows["from_day"] <= rows["start_on"])
    rows = rows[(kind == "base") & here & rows["carried_by"].isna()].copy()
    grams = []
    for _, row in rows.iterrows():
        weighed = [
            w["weight_mg"]
            for w in sorted(tables.get("weighings", []), key=lambda w: w["weighed_on"])
            if w["item"] == row["item"] and w["weighed_on"] <= row["start_on"]
        ]
        later = weighed[-1] if weighed else row["weight_mg_gear"]
        piece = later if pd.isna(row["weight_mg"]) else row["weight_mg"]
        grams.append(None if piece is None or pd.isna(piece) else int(piece) * row["quantity"])
    rows["mg"] = pd.array(grams, dtype="Int64")
    return rows


def wanted_weights(tables: Tables) -> dict[str, tuple[float | None, str | None]]:
    rows = base_rows(tables)
    found = {}
    for one in tables["trip"]:
        mine = rows[rows["trip"] == one["trip"]]
        blank = bool(mine["mg"].isna().any())
        nothing = not len(mine) or bool(mine["mg"].isna().all())
        out = (
            "plan"
            if one["plan"]
            else "day_trip"
            if one["start_on"] == one["end_on"]
            else "nothing_carried"
            if not len(mine)
            else "not_weighed"
            if blank
            else None
        )
        found[one["trip"]] = (None if nothing else int(mine["mg"].sum()) / 1000, out)
    return found


@BOOKS
@given(season_books(weighed=False))
def test_weights_and_what_is_left_out_are_those_of_pandas(store: Any, tables: Tables) -> None:
    fill(store, tables)
    weights = trip_weights(store, EVERY)
    assert {t.trip: (t.base_g, t.left_out) for t in weights.trips} == wanted_weights(tables)
    assert all(t.left_out in (*WHY_LEFT_OUT, None) for t in weights.trips)
    starts = [t.start_on for t in weights.trips]
    assert starts == sorted(starts)
    rows = TABLES["base_weight"].frame(store)
    assert rows["trip"].tolist() == sorted(t["trip"] for t in tables["trip"])
    assert rows["base_g"].isna().sum() == sum(t.base_g is None for t in weights.trips)


@BOOKS
@given(season_books())
def test_systems_sum_to_the_whole_and_one_of_them_can_be_asked_for(
    store: Any, tables: Tables
) -> None:
    fill(store, tables)
    weights = trip_weights(store, EVERY)
    found = base_weight_trends(store, weights)
    for place, one in enumerate(weights.counted):
        assert sum(s.grams[place] for s in found.systems) == pytest.approx(one.base_g)
    for series in found.systems[:2]:
        alone = trip_weights(store, Selection.of(system=series.name))
        grams = {t.trip: t.base_g for t in alone.counted}
        kept = [t.trip for t in weights.counted]
        assert [grams[t] for t in kept] == pytest.approx(list(series.grams))
    modes = {t.mode for t in weights.counted if t.mode}
    assert len(found.modes) == (len(modes) if len(modes) > 1 else 0)
    for series in found.modes:
        assert series.trips == sum(t.mode == series.name for t in weights.counted)


@BOOKS
@given(season_books(), st.data())
def test_the_change_is_that_of_the_means_to_the_last_milligram(
    store: Any, tables: Tables, data: st.DataObject
) -> None:
    fill(store, tables)
    weights = trip_weights(store, EVERY)
    names = [*{t.season for t in weights.counted}, *{str(t.start_on.year) for t in weights.counted}]
    if len(names) < 2:
        return
    one, other = data.draw(st.permutations(sorted(set(names))).map(lambda each: each[:2]))
    change = season_change(store, weights, one, other)
    assert change is not None
    rows = base_rows(tables)
    means = []
    for period in (one, other):
        trips = [t for t in weights.counted if period in (t.season, str(t.start_on.year))]
        mine = rows[rows["trip"].isin([t.trip for t in trips])]
        means.append(Fraction(int(mine["mg"].sum()), len(trips)))
    assert [change.before_mg, change.after_mg] == means
    assert sum((p.mg for p in change.parts), Fraction(0)) == means[1] - means[0]
    table = TABLES["base_weight_change"].frame(store, from_season=one, to_season=other)
    difference = round(float(means[1]) / 1000, 3) - round(float(means[0]) / 1000, 3)
    assert table["delta_g"].sum() == pytest.approx(difference, abs=2e-3)
    assert set(table["from_season"]) <= {one}


SUMMERS = (date(2023, 6, 10), date(2024, 6, 12), date(2025, 7, 1), date(2026, 6, 20))


def steady(*starts: date, grams: int = 7000, **more: Any) -> Tables:
    """Trips of two nights, one thing each, 100 g lighter from trip to trip."""
    names = [f"t{n}" for n in range(len(starts))]
    return {
        "gear": [gear("load", "shelter")],
        "trip": [trip(n, s, 2, mode="foot", **more) for n, s in zip(names, starts, strict=True)],
        "carried": [
            carried(n, "load", weight_mg=(grams - 100 * i) * 1000) for i, n in enumerate(names)
        ],
    }


def test_a_drink_that_is_not_weighed_leaves_no_trip_out(store: Any) -> None:
    tables = steady(*SUMMERS)
    tables["gear"] += [
        gear("food", "food", None, carried_as="consumable"),
        gear("boat", "boat", None, carried_as="vehicle"),
    ]
    tables["carried"] += [carried("t0", "food"), carried("t1", "boat")]
    fill(store, tables)
    assert len(trip_weights(store, EVERY).counted) == 4
    tables["gear"] += [gear("mug", "cook", None)]
    tables["carried"] += [carried("t2", "mug")]
    fill(store, tables)
    found = {t.trip: t for t in trip_weights(store, EVERY).trips}
    assert (found["t2"].left_out, found["t2"].unweighed) == ("not_weighed", ("Mug",))
    # Asked for one system, only what of that is not weighed matters.
    assert len(trip_weights(store, Selection.of(system="Shelter")).counted) == 4


def test_without_names_the_last_two_seasons_of_one_name(store: Any) -> None:
    fill(store, steady(*SUMMERS, date(2026, 9, 4)))
    weights = trip_weights(store, EVERY)
    change = season_change(store, weights)
    assert change is not None
    assert (change.before.name, change.after.name) == ("2025 summer", "2026 summer")
    for one, other, pair in (
        ("2023 summer", "", ("2023 summer", "2026 summer")),
        ("", "Summer 2024", ("2023 summer", "2024 summer")),
        ("2023", "2026-summer", ("2023", "2026 summer")),
        ("2024", "", ("2024", "2026")),
    ):
        found = season_change(store, weights, one, other)
        assert found is not None
        assert (found.before.name, found.after.name) == pair
    fill(store, steady(date(2026, 6, 1), date(2026, 6, 9), date(2026, 9, 1)))
    assert season_change(store, trip_weights(store, EVERY)) is None
    asked = TABLES["base_weight_change"].frame(store)
    assert asked.empty


def test_south_of_the_equator_june_is_winter(store: Any) -> None:
    fill(store, steady(*SUMMERS, latitude=-41.0))
    found = season_change(store, trip_weights(store, EVERY))
    assert found is not None
    assert found.after.name == "2026 winter"


@pytest.mark.parametrize(
    ("one", "other", "says"),
    [
        (
            "2026 sumer",
            "2025 summer",
            "from_season: expected a season or year with trips that count, e.g. "
            '"2026 summer" or "2026", got "2026 sumer"; did you mean "2026 summer"?',
        ),
        (
            "2026 summer",
            "2019",
            "to_season: expected a season or year with trips that count, e.g. "
            '"2026 summer" or "2026", got "2019"; there are 2023 summer, 2024 summer',
        ),
        (
            "2026 summer",
            "summer 2026",
            "to_season: expected another one than before, got 2026 summer",
        ),
        (
            "2026 summer",
            "",
            "to_season: nothing like 2026 summer has trips after it; name a period",
        ),
        ("", "2023", "from_season: nothing like 2023 has trips before it; name a period"),
    ],
)
def test_a_period_that_cannot_be_found_is_told(store: Any, one: str, other: str, says: str) -> None:
    fill(store, steady(*SUMMERS))
    with pytest.raises(QuestionError) as told:
        season_change(store, trip_weights(store, EVERY), one, other)
    assert str(told.value).startswith(says)


def test_what_is_asked_for_is_read_or_refused(store: Any) -> None:
    fill(store, steady(*SUMMERS))
    found = trip_weights(store, Selection.of(since="2024-06-12", until="2025-12-31", mode="Foot"))
    assert [t.trip for t in found.trips] == ["t1", "t2"]
    assert not trip_weights(store, Selection.of(mode="paddle")).trips
    with pytest.raises(QuestionError) as told:
        Selection.of(system="shelfter")
    assert str(told.value) == (
        'system: expected a system of gear.csv, got "shelfter"; did you mean "shelter"?'
    )


def test_the_normal_low_is_used_as_soon_as_all_trips_have_one(store: Any) -> None:
    tables = steady(*SUMMERS, *(date(2026, m, 1) for m in (7, 8, 9)))
    tables["weather"] = [
        {"trip": t["trip"], "day": t["start_on"], "low_c": float(n)}
        for n, t in enumerate(tables["trip"])
    ]
    with empty_store() as own:
        fill(own, tables)
        weights = trip_weights(own, EVERY)
        assert weights.measure == "measured"
        assert [t.measured_low_c for t in weights.counted] == [0, 1, 2, 3, 4, 5, 6]
        # As the view is once a station serves the trips, all but one night of the first.
        mart = own.execute("SELECT sql FROM duckdb_views() WHERE view_name = 'nights'").fetchone()
        assert mart is not None
        own.execute("CREATE TEMP TABLE told AS SELECT * FROM nights ORDER BY trip, night")
        own.execute(
            "CREATE OR REPLACE TEMP VIEW nights AS SELECT * REPLACE (CASE WHEN $gap AND "
            "trip = 't0' AND night > DATE '2023-06-10' THEN NULL ELSE 9.5::DOUBLE END "
            "AS normal_low_c) FROM told".replace("$gap", "true")
        )
        assert trip_weights(own, EVERY).measure == "measured"
        own.execute(
            "CREATE OR REPLACE TEMP VIEW nights AS "
            "SELECT * REPLACE (9.5::DOUBLE AS normal_low_c) FROM told"
        )
        weights = trip_weights(own, EVERY)
        assert weights.measure == "normal"
        rows = TABLES["base_weight"].frame(own)
        assert set(rows["cold_source"]) == {"normal"}
        assert set(rows["cold_c"]) == {9.5}


def test_trends_of_a_fall_of_a_hundred_grams_a_trip(store: Any) -> None:
    fill(store, steady(*SUMMERS))
    told = TABLES["base_weight_trend"].rows(store)
    assert [(r["scope"], r["method"]) for r in told] == [
        (scope, method)
        for scope in ("all", "system:shelter")
        for method in ("like_for_like", "seasonal_kendall", "theil_sen")
    ]
    fit, seasonal, slope = told[:3]
    assert (fit["slope_g_per_year"], fit["trips"]) == (None, 4)
    assert seasonal["slope_g_per_year"] == -100
    assert seasonal["p_value"] == slope["p_value"] == pytest.approx(2 / 24)
    assert slope["slope_g_per_year"] == pytest.approx(-99.4, abs=0.5)
    only = TABLES["base_weight_trend"].frame(store, system="Shelter")
    assert set(only["scope"]) == {"system:shelter"}


def test_columns_kinds_and_order_are_those_that_are_documented(store: Any) -> None:
    kinds = {"text": "VARCHAR", "whole": "BIGINT", "number": "DOUBLE", "date": "DATE"}
    fill(store, steady(*SUMMERS, date(2026, 12, 1)))
    for table in ENTRIES:
        relation = table.relation(store)
        assert tuple(relation.columns) == table.column_names
        for term, kind in zip(table.columns, relation.types, strict=True):
            assert str(kind) == kinds[term.kind]
            assert term.meaning
            assert term.unit or term.kind != "number"
        rows = relation.fetchall()
        assert rows
        key = [row[: table.sorted_by] for row in rows]
        assert key == sorted(key)
        for term, column in zip(table.columns, zip(*rows, strict=True), strict=True):
            assert term.nullable or None not in column, term.name
