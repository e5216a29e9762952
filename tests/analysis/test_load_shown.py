"""What a load weighs adds up as it is shown, in both systems of units, whatever its weights."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_drawing import carried, empty_store, fill, gear, trip
from tarebook.analysis.debrief.page.page import read_debrief
from tarebook.analysis.display.load_shown import LoadShown, parts_shown
from tarebook.analysis.display.rounding import apportioned, as_shown
from tarebook.analysis.display.tables import Table
from tarebook.analysis.display.theme import WIDE
from tarebook.analysis.display.words import SPACE, Display, mass, number, small_mass
from tarebook.analysis.weigh_up.page.page import read_weigh_up
from tarebook.analysis.weigh_up.page.shown import total_scale, totals_shown
from tarebook.analysis.weigh_up.results import WeighUp

GRAMS, OUNCES = Display(), Display("oz", "f", "mi")
UNITS = pytest.mark.parametrize("display", [GRAMS, OUNCES], ids=["g", "oz"])
KINDS = ("base", "worn", "consumable", "vehicle")
TODAY = date(2026, 11, 27)
MG = st.integers(0, 30_000_000)
LOADS = st.fixed_dictionaries({kind: MG | st.just(0) | st.none() for kind in KINDS})


def figure(text: str) -> Fraction:
    """The number at the head of a text, exact as it is shown."""
    plain = text.replace("at least ", "").replace("\u2212", "-")
    head = plain.rsplit(SPACE, 1)[0] if plain[-1:].isalpha() else plain
    return Fraction(head.replace(SPACE, ""))


@given(LOADS)
def test_the_parts_of_a_load_add_up_as_shown(milligrams: dict[str, int | None]) -> None:
    grams = {kind: None if mg is None else mg / 1000 for kind, mg in milligrams.items()}
    for display in (GRAMS, OUNCES):
        load = LoadShown.of(grams, display)
        known = [kind for kind in KINDS if grams[kind] is not None]
        shown = {kind: figure(load.kind(kind)) for kind in known}
        skin_out = sum(v for kind, v in shown.items() if kind != "vehicle")
        assert skin_out == figure(load.text(load.skin_out))
        assert sum(shown.values()) == figure(load.text(load.carried))
        # Each within less than a unit of what it is; what is compared is rounded for itself.
        unit = Fraction(1, 10**load.scale.decimals)
        for kind in known:
            exact = Fraction((grams[kind] or 0.0) * load.scale.factor)
            assert abs(shown[kind] - exact) < unit + Fraction(1, 10**6)
        whole = sum(grams[kind] or 0.0 for kind in known if kind != "vehicle")
        assert figure(load.text(load.skin_out)) == figure(load.scale.text(whole))
        if "base" in known:
            assert figure(load.kind("base")) == figure(load.scale.text(grams["base"]))


@given(st.lists(MG | st.none(), max_size=30))
def test_parts_shown_sum_to_their_sum_as_shown(milligrams: list[int | None]) -> None:
    grams = [None if mg is None else mg / 1000 for mg in milligrams]
    for display in (GRAMS, OUNCES):
        scale = small_mass(display)
        shown = parts_shown(scale, grams)
        assert [g is None for g in shown] == [g is None for g in grams]
        figures = [figure(scale.number(g)) for g in shown if g is not None]
        assert sum(figures) == figure(scale.number(sum(g or 0.0 for g in grams)))


def test_halves_are_shown_alike_however_they_were_added_up() -> None:
    """Ten of 1343.5 g in floats are 13.435 kg or a hair less; a person reads one figure."""
    tenths = sum([13.435 / 10] * 10)
    assert tenths != 13.435, "floats that add up exactly show nothing here"
    assert number(tenths, 2) == number(13.435, 2) == "13.44"
    assert [number(x) for x in (0.5, 1.5, 2.5, -2.5)] == ["1", "2", "3", "\u22123"]
    assert apportioned([0.5, 2.0]) == [1.0, 2.0]
    assert str(as_shown(7.385, 2)) == "7.39"
    assert mass(7385.0, GRAMS) == f"7.39{SPACE}kg"


@UNITS
def test_the_debrief_shows_one_figure_for_what_is_worn(display: Display) -> None:
    """7.379 + 1.996 + 5.367 are 14.742 kg; the picture and the sentence had different parts."""
    milligrams = {"base": 7_379_000, "worn": 1_996_000, "consumable": 5_367_000}
    systems = dict(zip(milligrams, ("shelter", "clothing", "food"), strict=True))
    things = [gear(kind, systems[kind], mg, carried_as=kind) for kind, mg in milligrams.items()] + [
        gear("mug", "cook", 28_349)
    ]
    rows = [carried("t", each["item"]) | {"carried_as": each["carried_as"]} for each in things]
    with empty_store() as store:
        fill(store, {"gear": things, "trip": [trip("t", TODAY, 2)], "carried": rows})
        page = read_debrief(store, "t", today=TODAY, display=display)
        section = page.weight()
        out = read_weigh_up(store, "t", today=TODAY, display=display)
        totals = out.totals().table
    grams = {kind: mg / 1000 for kind, mg in milligrams.items()} | {"base": 7_407.349}
    load = LoadShown.of(grams, display)
    told = " ".join(section.answer)
    for text in (load.kind("base"), load.text(load.skin_out), load.kind("worn")):
        assert text in told
    assert figure(load.kind("base")) + figure(load.kind("worn")) + figure(
        load.kind("consumable")
    ) == figure(load.text(load.skin_out))
    assert section.figure is not None
    drawn = drawn_texts(section.figure.spec(WIDE))
    assert {load.kind(kind) for kind in milligrams} <= drawn
    assert totals is not None
    by_name = {row["name"]: row["weight"] for row in totals.rows}
    assert by_name["From the skin out"] == load.text(load.skin_out)
    assert by_name["Base weight"] == load.kind("base")


def drawn_texts(spec: dict[str, Any]) -> set[str]:
    """Every text that stands in a picture's data."""
    data = spec["datasets"].values()
    return {str(value) for rows in data for row in rows for value in row.values()}


SYSTEMS = ("bags", "boat", "bike", "clothing", "sleep", "food")
THINGS = st.lists(
    st.tuples(
        st.sampled_from(SYSTEMS),
        st.sampled_from(KINDS),
        st.integers(1, 3_000_000),
        st.sampled_from((None, "one", "two")),
    ),
    min_size=1,
    max_size=14,
)


@settings(max_examples=25)
@given(THINGS)
def test_a_weigh_up_adds_up_in_rows_columns_and_totals(
    things: list[tuple[str, str, int, str | None]],
) -> None:
    owned = [
        gear(f"t{n}", system, mg, carried_as=kind, kit=kit)
        for n, (system, kind, mg, kit) in enumerate(things)
    ]
    fill(STORE, {"gear": owned})
    for display in (GRAMS, OUNCES):
        page = read_weigh_up(STORE, today=TODAY, display=display)
        total = totals_shown(page.weighed, total_scale(display))
        for section in (page.by_system(), page.by_kit()):
            if section.table is not None:
                check_table(section.table, page.weighed, total)
        load = LoadShown.of(
            {k: sum(mg for _, kind, mg, _ in things if kind == k) / 1000 for k in KINDS}, display
        )
        assert load.kind("base") in " ".join(page.totals().answer)


def check_table(table: Table, weighed: WeighUp, total: dict[str, float]) -> None:
    columns = {column.key: column for column in table.columns}
    wanted = {key for key in ("carried", *KINDS, "base_without") if key in columns}
    sums = dict.fromkeys(wanted, Fraction(0))
    write = columns["carried"].write
    for row in table.rows:
        cells = {k: figure(columns[k].cell(row[k])) if row[k] else Fraction(0) for k in wanted}
        assert cells["carried"] == sum(cells[kind] for kind in KINDS if kind in wanted)
        if row.get("base_without") is not None:
            left = cells["base"] + cells["base_without"]
            assert left == figure(write(total[weighed.base.name]))
        for key in wanted:
            sums[key] += cells[key]
    assert sums["carried"] == figure(write(total[weighed.carried.name]))
    if "base" in wanted:
        assert sums["base"] == figure(write(total[weighed.base.name]))


STORE = empty_store()


def test_the_step_from_the_last_trip_is_that_of_the_shown_weights() -> None:
    """7.826 and 9.4912 kg are shown as 7.83 and 9.49: 1.66 lighter, not 1.67 (9.4912 - 7.826)."""
    worn = gear("shirt", "clothing", 200_000, carried_as="worn")
    things = [gear("old", "shelter", 9_491_200), gear("new", "shelter", 7_826_000), worn]
    trips = [
        trip("a", date(2026, 5, 1), 2, mode="foot"),
        trip("b", date(2026, 6, 1), 2, mode="foot"),
    ]
    rows = [carried("a", "old"), carried("b", "new")]
    rows += [carried(each, "shirt") for each in ("a", "b")]
    fill(STORE, {"gear": things, "trip": trips, "carried": rows})
    page = read_debrief(STORE, "b", today=TODAY, display=GRAMS)
    (point,) = (each for each in page.opening().points if each.about == "Base weight")
    assert (
        point.text().replace(SPACE, " ")
        == "Base weight: 7.83 kg, lightweight. 1.66 kg less than on “A”."
    )
    assert page.changes().answer[0].replace(SPACE, " ").startswith("1.66 kg lighter than “A”")
