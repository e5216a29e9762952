"""One answer to "will I be cold": on every page, own limit first, of every set that is owned."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from normals_drawing import normals, refill
from store_drawing import carried, empty_store, gear, trip
from tarebook.analysis.buying.cases import buying_case
from tarebook.analysis.buying.page import page as buying_page
from tarebook.analysis.buying.verdict import verdict
from tarebook.analysis.climate.outlook import Outlook, outlook_of_trip
from tarebook.analysis.cold import sections as cold_sections
from tarebook.analysis.cold.limit import ColdLimit, ColdLimits, cold_limits
from tarebook.analysis.cold.page import page as context_page
from tarebook.analysis.cold.trips import ColdAhead, cold_forecasts, cold_trips_ahead
from tarebook.analysis.cold.votes import Votes
from tarebook.analysis.comfort.page import opening as comfort_opening
from tarebook.analysis.display.cautions import AHEAD_CARE
from tarebook.analysis.display.words import Display, one_in
from tarebook.analysis.store.rows import ask
from tarebook.analysis.store.trip_choice import choose_trip

TODAY = date(2026, 11, 25)
HERE = {"latitude": 47.5, "longitude": -122.0, "elevation_mm": 100_000}
CELSIUS, FAHRENHEIT = Display(), Display("oz", "f", "mi")
Tables = dict[str, list[dict[str, Any]]]


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def put(store: Any, tables: Tables, low_c: float = 7.0) -> None:
    """Put these tables into the store, with a station nearby: lows near ``low_c``, SD 2.5 °C."""
    rest = dict(tables)
    lows = dict.fromkeys(normals().lows, (low_c, 2.5))
    refill(store, [normals(lows=lows)], rest.pop("trip"), None, rest)


def nights_in(
    things: list[dict[str, Any]], lows: list[float], cold_below_c: float, *, ago: int = 0
) -> Tables:
    """Trips of two nights, every four weeks back from today, in these things.

    A night colder than ``cold_below_c`` is voted too cold and scored 2, any other neither and 4.
    """
    tables: Tables = {"gear": things, "trip": [], "carried": [], "weather": [], "comfort": []}
    for n in range(0, len(lows), 2):
        name, start = f"t{ago}-{n:02}", TODAY - timedelta(30 + 28 * (n // 2) + ago)
        tables["trip"].append(trip(name, start, 2, mode="foot", **HERE))
        tables["carried"] += [carried(name, thing["item"], used=1) for thing in things]
        for k, low in enumerate(lows[n : n + 2]):
            day = start + timedelta(k)
            cold = low < cold_below_c
            tables["weather"].append({"trip": name, "day": day, "low_c": low})
            tables["comfort"].append(
                {
                    "trip": name,
                    "day": day,
                    "aspect": "sleep",
                    "score": 2 if cold else 4,
                    "warmth": -2 if cold else 0,
                }
            )
    return tables


def joined(*parts: Tables) -> Tables:
    every: Tables = {}
    for part in parts:
        for table, rows in part.items():
            known = {str(row) for row in every.get(table, [])}
            every.setdefault(table, []).extend(row for row in rows if str(row) not in known)
    return every


def offered(name: str, rated_low_c: float, rated_as: str, replaces: list[str]) -> dict[str, Any]:
    return {
        "candidate": name,
        "name": name.title(),
        "system": "sleep",
        "weight_mg": 900_000,
        "carried_as": "base",
        "price": 300.0,
        "currency": "USD",
        "replaces": replaces,
        "rated_low_c": rated_low_c,
        "rated_as": rated_as,
    }


def plan(*items: str, nights: int = 3, start: date = date(2027, 4, 10)) -> Tables:
    return {
        "trip": [trip("plan", start, nights, plan=True, **HERE)],
        "carried": [carried("plan", item) for item in items],
    }


def ahead_of(store: Any, name: str = "plan") -> ColdAhead:
    (ahead,) = cold_forecasts(store, [choose_trip(store, name)], sets=False)
    return ahead


def limit_in(limits: ColdLimits, *items: str) -> ColdLimit:
    (found,) = (one for one in limits.limits if set(one.system.items) == set(items))
    return found


BAG = gear("bag", "sleep", 1_000_000, rated_low_c=3.0, rated_as="comfort", essential=True)
MAT = gear("mat", "sleep", 400_000, r_value=4.0, essential=True)
LOWS = [2.0, 6.0, 4.0, 1.0, 3.0, 7.0, 0.0, 5.0, 2.5, 4.5, 1.5, 3.5, 8.0, 6.5, 3.0, 2.0, 5.5, 4.0]


@pytest.mark.outside(
    "memory",
    "how far kinds of ratings of one bag lie apart (ISO 23537-1's comfort and limit), from memory",
    "comfort lies 5 °C above limit, a maker's own figure 1 °C",
)
def test_both_places_have_the_same_shifts(store: Any) -> None:
    from tarebook.analysis.cold.ratings import RATING_KINDS, as_limit_c

    kinds = list(RATING_KINDS)
    put(
        store,
        {
            "trip": [],
            "gear": [
                gear(f"g{n}", "sleep", rated_low_c=2.0, rated_as=kind)
                for n, kind in enumerate(kinds)
            ],
        },
    )
    rows = store.execute("SELECT rated_as, as_limit_c FROM sleep_ratings ORDER BY item").fetchall()
    assert rows == [(kind, as_limit_c(2.0, kind)) for kind in kinds]
    # What is not said is the maker's own.
    assert dict(rows) == {"limit": 2.0, "comfort": -3.0, "maker": 1.0}


def test_one_bag_by_two_figures_spares_no_night(store: Any) -> None:
    tables = nights_in([BAG, MAT], LOWS, 4.2)
    tables["candidates"] = [
        offered("by-limit", -2.0, "limit", ["bag"]),
        offered("by-comfort", 3.0, "comfort", ["bag"]),
        offered("warmer", -12.0, "limit", ["bag"]),
    ]
    put(store, tables)
    cases = {case.candidate.candidate: case for case in buying_case(store, TODAY)}
    one, same, warmer = (cases[n].replay for n in ("by-limit", "by-comfort", "warmer"))
    assert one.cold_votes == same.cold_votes == 11
    assert one.avoided == same.avoided == 0
    assert one.inside_now == one.inside_then == same.inside_then
    assert verdict(cases["by-limit"]) != "changes_nights"
    # The limits are no further apart than for one figure entered twice, but for what a comfort
    # rating may be off (1 °C): of that, nights in one comfort bag tell a little of the next.
    apart, twice = (x.limit_now_c - x.own_limit_c.value for x in (one, same))
    assert twice - 0.1 <= apart <= twice + 0.25
    # Across kinds the range is wider, and the page says so.
    assert one.own_limit_c.high - one.own_limit_c.low > same.own_limit_c.high - same.own_limit_c.low
    # A bag that is warmer on the one scale does spare nights.
    assert warmer.avoided >= 8
    assert verdict(cases["warmer"]) == "changes_nights"
    page = buying_page.read_buying(store, "by-limit", today=TODAY, display=CELSIUS)
    told = "\n".join([page.opening().text(), *(part.text() for part in page.each().parts)])
    assert "would have been warm enough" not in told
    assert "cold nights would" not in told
    assert "Ratings are brought to one scale: a comfort rating is taken to stand" in told
    assert "their ranges are wider" in told


def test_nights_on_a_flat_mat_are_set_apart_and_sell_no_quilt(store: Any) -> None:
    lows = [6.0, 7.0, 5.0, 6.5, 8.0, 5.5, 7.5, 6.0]
    tables = nights_in([BAG, MAT], lows, 2.0)
    put(store, tables)
    clean = limit_in(cold_limits(store), "bag", "mat")

    flat = nights_in([BAG, MAT], [6.0, 6.5, 7.0, 6.0], 99.0, ago=400)  # all voted too cold
    starts = {row["trip"]: row["start_on"] for row in flat["trip"]}
    flat["failures"] = [
        {"trip": name, "item": "mat", "day": day, "severity": severity, "what": "Flat"}
        for (name, day), severity in zip(starts.items(), ("lost_use", "impaired"), strict=True)
    ]
    both = joined(tables, flat)
    both["candidates"] = [offered("quilt", -12.0, "limit", ["bag"])]
    put(store, both, low_c=19.0)  # on such nights the year to come speaks for nothing
    limits = cold_limits(store)
    assert limit_in(limits, "bag", "mat") == clean
    assert [(n.trip, n.night, n.why) for n in limits.apart] == [
        (name, starts[name] + timedelta(k), why)
        for name, why in sorted(
            zip(starts, ("lost_use", "impaired"), strict=True), key=lambda one: starts[one[0]]
        )
        for k in range(2)
    ]
    (case,) = buying_case(store, TODAY)
    assert (case.replay.cold_votes, case.replay.avoided, case.replay.set_apart) == (0, 0, 4)
    assert verdict(case) != "changes_nights"
    page = buying_page.read_buying(store, "", today=TODAY, display=CELSIUS)
    told = "\n".join([page.opening().text(), *(part.text() for part in page.each().parts)])
    assert "spare you cold nights" not in told
    assert "4 nights are left out, because sleep or shelter gear had failed." in told
    told = cold_sections.limits_section(limits, CELSIUS).text()
    assert "4 nights are left out, because sleep or shelter gear had failed: “Mat” worked" in told
    assert "“Mat” could no longer be used on 2 nights, " in told
    # Had nothing failed, the same nights would have moved the limit and spoken for a quilt.
    put(store, {**both, "failures": []}, low_c=19.0)
    assert (
        limit_in(cold_limits(store), "bag", "mat").own_limit_c.value > clean.own_limit_c.value + 2
    )
    assert verdict(buying_case(store, TODAY)[0]) == "changes_nights"


@pytest.mark.parametrize(
    ("failure", "apart"),
    [
        ({"severity": "nuisance"}, []),
        ({"severity": "impaired"}, [1, 2, 3]),
        ({"severity": "unsafe", "fixed": 3}, [1, 2]),
        ({"severity": "lost_use", "fixed": 1}, []),
        ({"severity": "lost_use", "day": None}, [0, 1, 2, 3]),
        ({"severity": "lost_use", "item": "stove"}, []),
        ({"severity": "lost_use", "item": "tarp"}, [1, 2, 3]),
    ],
)
def test_which_nights_are_set_apart(store: Any, failure: dict[str, Any], apart: list[int]) -> None:
    start = date(2026, 6, 1)
    day = failure.get("day", start + timedelta(1))
    fixed = start + timedelta(failure["fixed"]) if "fixed" in failure else None
    put(
        store,
        {
            "gear": [MAT, gear("tarp", "shelter"), gear("stove", "cook")],
            "trip": [trip("t", start, 4)],
            "failures": [
                {
                    "trip": "t",
                    "item": failure.get("item", "mat"),
                    "day": day,
                    "severity": failure["severity"],
                    "fixed_on": fixed,
                }
            ],
        },
    )
    rows = ask(store, "store/nights_apart")
    assert [(row["night"] - start).days for row in rows] == apart


def test_a_plan_has_one_chance_on_every_page(store: Any) -> None:
    # A bag rated −2 °C whose own limit lies near 3 °C, on nights that are usually 8 °C.
    bag = gear("bag", "sleep", 1_000_000, rated_low_c=-2.0, rated_as="limit", essential=True)
    put(store, joined(nights_in([bag, MAT], LOWS, 3.2), plan("bag", "mat")), low_c=9.0)
    ahead = ahead_of(store)
    assert ahead.basis == "own"
    assert ahead.chance is not None
    assert ahead.limit is not None
    assert 2.0 < ahead.limit.own_limit_c.value < 5.0
    # By the rating alone a colder night would be rare: no page may say that of this plan.
    by_rating = outlook_of_trip(store, "plan", -2.0)
    assert isinstance(by_rating, Outlook)
    assert by_rating.rare
    odds = one_in(ahead.chance.p_any.value)
    context = context_page.read_nights(store, "plan", display=CELSIUS)
    (listed,) = cold_trips_ahead(store, cold_limits(store), "", TODAY)
    assert listed.chance == ahead.chance
    points = comfort_opening.comfort_points((), (), cold_limits(store), (listed,), CELSIUS)
    pages = [
        context.to_come().text(),
        cold_sections.cold_ahead_section((listed,), CELSIUS).text(),
        next(point.text() for point in points if point.about.startswith("A cold night on")),
    ]
    for told in pages:
        assert odds in told.casefold()
        assert "rare" not in told
    assert f"“Bag”: {odds}" in pages[0]
    assert "going by your own limit of" in pages[0]
    assert f"“Bag”: {odds}" in pages[1]
    # Each set that is owned has a row, and the one on the list has this very chance in it.
    row = next(one for one in listed.sets if one.on_list)
    assert row.chance == ahead.chance
    table = context.to_come().more[0]
    assert [r["any"] for r in table.rows if r["on_list"]] == [odds]
    # That ratings and limits promise nothing is in sight, and not among the notes, which fold.
    assert context.to_come().caution == AHEAD_CARE
    # Who asks about a temperature gets that answer beside the other, not in its place.
    asked = context_page.read_nights(store, "plan", below_c=-2.0, display=CELSIUS).to_come().text()
    assert f"“Bag”: {odds}" in asked
    assert "You asked about −2\u202f°C, which is another question." in asked
    fahrenheit = context_page.read_nights(store, "plan", display=FAHRENHEIT).to_come()
    assert "°C" not in fahrenheit.html()


def test_without_a_judged_night_the_chance_goes_by_the_rating_and_says_so(store: Any) -> None:
    for rated_as, told in (
        ("comfort", "its comfort rating of 3\u202f°C, taken as a limit of −2\u202f°C: you"),
        ("limit", "its limit rating of 3\u202f°C: you have judged no night in just"),
        ("maker", "its maker’s rating of 3\u202f°C, taken as a limit of 2\u202f°C: you have"),
    ):
        bag = gear("bag", "sleep", rated_low_c=3.0, rated_as=rated_as)
        put(store, {"gear": [bag, MAT], **plan("bag", "mat")})
        ahead = ahead_of(store)
        assert ahead.basis == "rated"
        assert any(told in line for line in cold_sections.ahead_sentences(ahead, CELSIUS))
        assert told in context_page.read_nights(store, "plan", display=CELSIUS).to_come().text()


def test_one_bag_by_two_figures_has_one_chance(store: Any) -> None:
    chances = []
    for rated, rated_as in ((3.0, "comfort"), (-2.0, "limit"), (-1.0, "maker")):
        bag = gear("bag", "sleep", rated_low_c=rated, rated_as=rated_as)
        put(store, joined(nights_in([bag, MAT], LOWS, 3.2), plan("bag", "mat")))
        ahead = ahead_of(store)
        assert ahead.chance is not None
        chances.append(ahead.chance)
    # Eighteen nights in it leave little to its rating.
    assert max(c.p_any.value for c in chances) - min(c.p_any.value for c in chances) < 0.02


def test_a_plan_without_its_mat_is_told_so(store: Any) -> None:
    gone = {**MAT, "retired_on": date(2026, 10, 1)}
    fresh = gear("new-mat", "sleep", replaces=["mat"], r_value=4.5, bought_on=date(2026, 10, 2))
    nights = nights_in([BAG, gone], LOWS, 4.2)
    sentence = "o mat comes along: “Mat” was given up"
    for listed, told in (
        (("bag",), f"{sentence} since."),
        (
            ("bag", "mat"),
            sentence.replace("was given up", "is on the list although it was given up."),
        ),
    ):
        tables = joined(nights, plan(*listed), {"gear": [fresh]})
        put(store, tables)
        ahead = ahead_of(store)
        # Nights without the mat are none of those that were judged.
        assert (ahead.basis, ahead.bedding and ahead.bedding.items) == ("rated", ("bag",))
        for page in (
            cold_sections.cold_ahead_section((ahead,), CELSIUS).text(),
            context_page.read_nights(store, "plan", display=CELSIUS).to_come().text(),
        ):
            assert told in page
            assert "What took over from it, “New-Mat”, is not on the list." in page
            assert "Without one you will be colder than your record can say." in page
            assert (
                "With a sound mat the chance that at least one night is too cold would be" in page
            )
            assert "Pack “New-Mat”." in page
    put(store, joined(nights, plan("bag", "new-mat"), {"gear": [fresh]}))
    assert ahead_of(store).lacking == ()
    kept = joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag"))
    put(store, kept)
    (lacking,) = ahead_of(store).lacking
    assert (lacking.why, lacking.is_mat, lacking.successor) == ("left_out", True, None)
    put(store, joined(nights_in([BAG, MAT], LOWS, 4.2), plan("bag", "mat")))
    assert ahead_of(store).lacking == ()


def test_what_takes_turns_with_a_thing_stands_in_for_it(store: Any) -> None:
    foam = gear("foam", "sleep")
    air = gear("airmat", "sleep")
    pillow = gear("pillow", "sleep", name="Silk liner")
    nights = joined(
        nights_in([BAG, air, pillow], LOWS, 4.2), nights_in([BAG, foam], LOWS[:4], 4.2, ago=600)
    )
    put(store, joined(nights, plan("bag", "foam")))
    assert [one.thing.item for one in ahead_of(store).lacking] == ["pillow"]
    put(store, joined(nights, plan("bag", "pillow")))
    told = " ".join(cold_sections.ahead_sentences(ahead_of(store), CELSIUS))
    # Neither of the two mats comes along.
    assert "no mat is on the list. " in told
    assert "With “Airmat”, “Bag” and “Silk liner” the chance that at least" in told


def test_every_set_that_is_owned_has_a_row(store: Any) -> None:
    winter = gear("winter", "sleep", 1_500_000, rated_low_c=-12.0, rated_as="limit")
    never = gear("never", "sleep", None, rated_low_c=-6.0, rated_as="comfort")
    lent = gear("lent", "sleep", rated_low_c=-20.0, rated_as="limit", owner="Jo")
    gone = gear("gone", "sleep", rated_low_c=0.0, retired_on=date(2026, 1, 1))
    tables = joined(
        nights_in([gone, MAT], LOWS[:4], 4.2, ago=900),
        nights_in([winter, MAT], LOWS[:8], -20.0, ago=400),
        nights_in([BAG, MAT], LOWS, 4.2),
        {"gear": [never, lent]},
        plan("bag", "mat"),
    )
    tables["candidates"] = [offered("shop", -14.0, "limit", ["bag"])]
    put(store, tables)
    (ahead,) = cold_trips_ahead(store, cold_limits(store), "", TODAY)
    rows = {one.limit.system.items: one for one in ahead.sets}
    assert set(rows) == {("bag", "mat"), ("mat", "winter"), ("mat", "never")}
    assert [rows[key].limit.basis for key in sorted(rows)] == ["own", "rated", "own"]
    assert [rows[key].on_list for key in sorted(rows)] == [True, False, False]
    assert rows["mat", "winter"].weight_g == 1900
    assert rows["mat", "never"].weight_g is None
    chances = [one.chance.p_any.value for one in ahead.sets if one.chance is not None]
    assert chances == sorted(chances)
    assert len(chances) == 3
    # The bag at home is named before the one in a shop.
    (case,) = buying_case(store, TODAY)
    assert case.replay.at_home is not None
    assert case.replay.at_home.rated_name == "Winter"
    page = buying_page.read_buying(store, "", today=TODAY, display=CELSIUS)
    told = page.each().parts[0].answer
    assert "“Winter”, which you own, would have spared about" in told[0]
    assert told[0].endswith("Try that first.")


def test_votes_on_bad_nights_alone_are_told(store: Any) -> None:
    tables = nights_in([BAG, MAT], LOWS, 4.2)
    put(store, tables)
    assert (
        "stand mostly on bad nights"
        not in cold_sections.limits_section(cold_limits(store), CELSIUS).text()
    )
    fewer = [row if row["score"] <= 2 else {**row, "warmth": None} for row in tables["comfort"]]
    put(store, {**tables, "comfort": fewer})
    found = cold_limits(store)
    assert (found.votes.bad_voted, found.votes.other_voted) == (11, 0)
    told = cold_sections.limits_section(found, CELSIUS).answer[-1]
    assert told.startswith(
        "Your warmth votes stand mostly on bad nights: 11 of 11 nights scored 1 or 2 have one, and "
        "0 of the 7 others."
    )
    assert "5\u202f°F too warm" in cold_sections.limits_section(found, FAHRENHEIT).answer[-1]


@pytest.mark.outside(
    "implementation",
    "SciPy's fisher_exact",
    "the chance of so many votes on bad nights",
)
@pytest.mark.parametrize(
    ("votes", "told"),
    [
        (Votes(8, 8, 12, 2), True),
        (Votes(2, 2, 3, 0), False),
        (Votes(10, 9, 20, 16), False),
        (Votes(0, 0, 20, 3), False),
        (Votes(5, 5, 0, 0), False),
        (Votes(4, 0, 9, 9), False),
    ],
)
def test_votes_by_chance_are_no_habit(votes: Votes, told: bool) -> None:
    from scipy.stats import fisher_exact

    assert votes.mostly_on_bad_nights is told
    if votes.bad and votes.other:
        table = [
            [votes.bad_voted, votes.bad - votes.bad_voted],
            [votes.other_voted, votes.other - votes.other_voted],
        ]
        assert votes._p_by_chance() == pytest.approx(fisher_exact(table, "greater").pvalue)
