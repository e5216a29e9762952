"""What the logbook's first page says: totals, seasons, the next plan, the few things to do."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tarebook.analysis.display.words import Display
from tarebook.analysis.home import to_do as things
from tarebook.analysis.home import words
from tarebook.analysis.home.first_page import FirstPage, first_page
from tarebook.analysis.home.logbook import Totals, by_season, totals
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.wear.chores import Chore
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2026, 6, 1)
GRAMS = Display()


def read(folder: Path, on: date = TODAY) -> FirstPage:
    with open_store(store_path(folder)) as store:
        return first_page(store, on)


def test_the_trips_are_those_that_took_place_with_their_notes(
    logbook: Callable[[str], Path],
) -> None:
    page = read(logbook("lakes"))
    assert [trip.trip for trip in page.trips] == [
        "2024-06-islands",
        "2025-05-ridge",
        "2025-09-ridge",
        "2026-02-hut",
        "2026-05-river",
    ]
    assert page.latest is not None
    assert page.latest.note == "first long one of the year"
    assert page.trips[0].note is None
    # 2 + 2 + 3 + 0 + 3 nights, by the days in trip.csv.
    assert page.totals.nights == 10
    assert page.totals.first == date(2024, 6, 14)


def test_seasons_come_latest_first_and_december_is_of_the_winter_to_come(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text("item,name\nmug,Mug\n", "utf-8")
    (tmp_path / "trip.csv").write_text(
        "trip,start_on,end_on\nold,2025-07-01,2025-07-02\ndecember,2025-12-30,2026-01-01\n"
        "january,2026-01-10,2026-01-10\n",
        "utf-8",
    )
    load_logbook(tmp_path)
    found = by_season(read(tmp_path).trips)
    assert [(season, [t.trip for t in trips]) for season, trips in found] == [
        ("2026 winter", ["january", "december"]),
        ("2025 summer", ["old"]),
    ]


@pytest.mark.parametrize(
    ("sums", "line"),
    [
        (Totals(0, 0, None, 0, None), "No trips yet"),
        (Totals(1, 0, None, 0, date(2026, 5, 1)), "1 trip"),
        (Totals(3, 4, None, 0, date(2026, 5, 1)), "3 trips and 4 nights since 1 May 2026"),
        (
            Totals(2, 1, 25.0, 1, date(2026, 5, 1)),
            "2 trips and 1 night since 1 May 2026 · 25.0 km on the move on 1 of them",
        ),
    ],
)
def test_totals_are_told_as_far_as_they_are_known(sums: Totals, line: str) -> None:
    assert words.total_line(sums, GRAMS).replace("\u202f", " ") == line


def test_totals_of_nothing() -> None:
    assert totals(()) == Totals(0, 0, None, 0, None)


def test_the_next_plan_is_the_first_that_is_not_over(logbook: Callable[[str], Path]) -> None:
    plan = read(logbook("lakes")).plan
    assert plan is not None
    assert plan.plan.title == "North in spring"
    assert words.plan_line(plan) == "20–26 May 2027 · 6 nights by bike"
    assert plan.later == ()
    assert words.later_plans(plan.later) == ()
    assert words.odds(plan.cold).endswith(".")
    assert read(logbook("lakes"), date(2027, 5, 27)).plan is None


def test_a_later_plan_is_named_with_its_odds(demo_folder: Path) -> None:
    page = read(demo_folder, date(2026, 11, 25))
    assert page.plan is not None
    ((trip, line),) = words.later_plans(page.plan.later)
    assert trip.title == "Larkspur Flat by e-bike"
    assert line.startswith("(28–31 May 2027). The ")
    assert line.endswith(words.odds(page.plan.later[0]))
    assert "chance that at least one of its 3 nights is too cold in “Summer quilt” is" in line
    assert (
        " in 10 (very likely 33\u202f% to 81\u202f%, by 45 judged nights). Take your own " in line
    )
    assert line.endswith(
        " Take your own “Winter sleeping bag”: in it about 1 in 30 (very "
        "likely under 1\u202f% to 15\u202f%), by 16 judged nights."
    )
    many = [told for _, told in words.later_plans(page.plan.later * 6)]
    assert many == [line] * 4 + ["(28–31 May 2027)."] * 2


@pytest.mark.parametrize(
    ("note", "told"),
    [
        (None, ""),
        ("Fed the stove\n in the  dark.", "Fed the stove in the dark."),
        (f"{'walk ' * 20}", f"{'walk ' * 16}…"),
        ("w" * 81, f"{'w' * 80} …"),
    ],
)
def test_the_list_of_trips_has_the_beginning_of_each_note(note: str | None, told: str) -> None:
    assert words.said_of_trip(note) == told


def test_the_odds_are_those_of_every_other_page(demo_folder: Path) -> None:
    from tarebook.analysis.cold.trips import cold_forecasts
    from tarebook.analysis.cold.words import hundred_range
    from tarebook.analysis.display.words import one_in

    page = read(demo_folder, date(2026, 11, 25))
    assert page.plan is not None
    with open_store(store_path(demo_folder)) as store:
        (cold,) = cold_forecasts(store, [page.plan.plan])
    # The list of that plan lacks its mat, so that only what it would be with it is told.
    assert cold.told is None
    assert cold.if_whole is not None
    told = words.odds(page.plan.cold)
    assert told.startswith("No mat is on the list. Without one you will be colder than")
    odds = cold.if_whole.p_any
    assert f"too cold would be {one_in(odds.value)} ({hundred_range(odds)}). “Air" in told
    assert told.endswith("try it at home first. These odds are for one that holds. Pack “Air mat”.")
    whole = replace(page.plan.cold, lacking=(), unmended=())
    assert whole.told is not None
    assert one_in(whole.told.p_any.value) in words.odds(whole)


def chore(kind: str, item: str, **more: object) -> Chore:
    return Chore(kind, item, item.title(), str(more.pop("system", "cook")), **more)  # type: ignore[arg-type]


def test_at_most_five_things_and_what_is_broken_leaves_room_for_others() -> None:
    broken = [chore("mend", f"tent-{n}", severity="unsafe") for n in range(7)]
    others = [chore("replenish", "kit"), chore("charge", "lamp"), chore("check", "rope")]
    shown = things.first_of(things.grouped([*broken, *others]))
    assert [each.kind for each in shown] == ["mend"] * 3 + ["replenish", "check"]
    alone = things.first_of(things.grouped(broken))
    assert len(alone) == 5
    few = things.grouped(others)
    assert things.first_of(few) == few


def test_water_is_never_restocked_and_a_thing_is_named_once() -> None:
    assert things.grouped([chore("restock", "water", system="water")]) == ()
    twice = [chore("mend", "tent", severity="unsafe"), chore("mend", "tent", severity="nuisance")]
    (one,) = things.grouped(twice)
    assert one.names == ("Tent",)


@pytest.mark.parametrize(
    ("chores", "told"),
    [
        (
            [chore("mend", "tent", severity="lost_use", day=date(2026, 5, 2), what="pole snapped")],
            "Mend “Tent”, which has been of no use since 2 May 2026. Pole snapped.",
        ),
        ([chore("mend", "mat", severity="unsafe")], "Mend “Mat”, which has been unsafe."),
        (
            [chore("replenish", "kit"), chore("replenish", "tape")],
            "Check and refill “Kit” and “Tape”, which were opened and not checked since.",
        ),
        ([chore("check", "rope")], "Look over “Rope”, which has not been checked for a year."),
        (
            [chore("check", f"r{n}") for n in range(6)],
            "Look over 6 things that have not been checked for a year: “R0”, “R1”, “R2” and "
            "3 more.",
        ),
        ([chore("charge", "lamp")], "Charge “Lamp”."),
        ([chore("restock", "gas")], "Restock “Gas”: nothing of it came home."),
        (
            [chore("try_out", "stove")],
            "Try “Stove” at home first: it failed and was mended since.",
        ),
    ],
)
def test_what_to_do_is_said_in_whole_sentences(chores: list[Chore], told: str) -> None:
    (thing,) = things.grouped(chores)
    assert words.to_do_sentence(thing) == told
