"""What may and may not be said of a candidate: safety, wishes, failures, ranges, own units."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.buying.cases import buying_case
from tarebook.analysis.buying.outputs import buying_rows
from tarebook.analysis.buying.page import page as buying_page
from tarebook.analysis.buying.page.charts import cold_nights_with
from tarebook.analysis.buying.results import Case
from tarebook.analysis.buying.verdict import verdict
from tarebook.analysis.display.words import Display, wanted

TODAY = date(2020, 4, 1)
METRIC = Display()
NOTHING = "Nothing in your record speaks for it"
FORBIDDEN = (
    "for nothing",
    "costs nothing",
    "at home first",
    "may stay at home",
    "1 trips",
    "1 nights",
)


@pytest.fixture(scope="module")
def connection() -> Any:
    with empty_store() as made:
        yield made


def candidate(short: str, system: str, **more: Any) -> dict[str, Any]:
    return {
        "candidate": short,
        "name": short.title(),
        "system": system,
        "weight_mg": 100_000,
        "carried_as": "base",
        "price": 50.0,
        "currency": "USD",
        "replaces": [],
        "rated_as": "maker",
        **more,
    }


def logbook(owned: list[dict[str, Any]], *offered: dict[str, Any], **more: Any) -> Tables:
    """Twelve trips of two nights in the last year, on each of which everything owned was used."""
    trips = [
        trip(f"t{n:02}", date(2019, 4, 10) + timedelta(28 * n), 2, use_record="full", mode="foot")
        for n in range(12)
    ]
    return {
        "gear": owned,
        "trip": trips,
        "candidates": list(offered),
        "carried": [carried(t["trip"], g["item"], used=1) for t in trips for g in owned],
        **more,
    }


def told(
    connection: Any, tables: Tables, display: Display = METRIC
) -> tuple[Case, dict[str, Any], str]:
    """The one case, its row, and every sentence of the page and the table."""
    fill(connection, tables)
    (case,) = buying_case(connection, TODAY)
    (row,) = buying_rows([case])
    page = buying_page.read_buying(connection, "", today=TODAY, display=display)
    parts = [
        page.side_by_side(),
        page.before_next(),
        page.what_broke(),
        page.how_long(),
        page.kilogram(),
        *page.each().parts,
    ]
    every = "\n".join(
        [page.opening().text(), *(p.text() for p in parts), *(str(v) for v in row.values())]
    )
    every = every.replace("\u202f", " ")
    for slip in FORBIDDEN:
        assert slip not in every, slip
    return case, row, every


GRAVE = {
    "a beacon by a power thing": (
        [gear("beacon", "safety", insurance=True), gear("bank", "power")],
        candidate("big-bank", "power", replaces=["beacon"], capacity_wh=40.0),
        "With it you would own nothing for safety, since it takes the place of “Beacon”.",
    ),
    "a beacon filed under other, in an emergency kit": (
        [gear("beacon", "other", insurance=True), gear("whistle", "safety", insurance=True)],
        candidate("big-bank", "power", replaces=["beacon"], capacity_wh=40.0),
        "“Beacon” is carried for an emergency: make sure that “Big-Bank” does the same work",
    ),
    "tent and rain jacket by a tarp": (
        [gear("tent", "shelter"), gear("jacket", "rain")],
        candidate("tarp", "shelter", replaces=["tent", "jacket"]),
        "With it you would own nothing for rain, since it takes the place of “Jacket”.",
    ),
    "tent and one of two rain jackets by a tarp": (
        [gear("tent", "shelter"), gear("jacket", "rain"), gear("trousers", "rain")],
        candidate("tarp", "shelter", replaces=["tent", "jacket"]),
        "“Jacket” is for rain: check that “Tarp” does that, too.",
    ),
    "the only lamp by a phone": (
        [gear("lamp", "light")],
        candidate("phone", "power", replaces=["lamp"], capacity_wh=15.0),
        "With it you would own nothing for light, since it takes the place of “Lamp”.",
    ),
    "the filter by a bottle that is lent": (
        [
            gear("filter", "water"),
            gear("bottle", "water", owner="Ann"),
            gear("old", "water", retired_on=TODAY),
            gear("drops", "water", carried_as="consumable"),
        ],
        candidate("cup", "cook", replaces=["filter"]),
        "With it you would own nothing for drinking water, since it takes the place of “Filter”.",
    ),
}


@pytest.mark.parametrize("name", GRAVE)
def test_what_keeps_one_safe_is_no_question_of_grams(connection: Any, name: str) -> None:
    owned, offered, caution = GRAVE[name]
    case, row, every = told(connection, logbook(owned, offered))
    assert case.saved_g is not None
    assert verdict(case) == "beyond_numbers"
    assert row["verdict"] == "Not decided by numbers: what it replaces keeps you safe"
    assert caution in row["caution"]
    assert "never by grams or money alone" in row["caution"]
    assert caution in row["reason_against"] or row["reason_against"] in row["caution"]
    assert "It saves" not in every
    assert "for each gram" not in every
    assert "matter of price" not in every
    # The headline itself says what would be lost.
    page = buying_page.read_buying(connection, "", today=TODAY, display=Display())
    assert case.losses.grave
    assert caution[:30] in page.opening().text()


CAUTIONED = {
    "lamp and batteries by a lamp": (
        [gear("lamp", "light"), gear("cells", "power", 60_000, capacity_wh=9.0)],
        candidate("torch", "light", replaces=["lamp", "cells"]),
        (
            "“Cells” is for power: check that “Torch” does that, too.",
            "Its capacity is not noted, while what it replaces has one.",
            "It would be all that you own for light",
            "Keep enough charge for light",
        ),
    ),
    "two things for light by one": (
        [gear("lamp", "light"), gear("cells", "light", 60_000)],
        candidate("torch", "light", replaces=["lamp", "cells"]),
        (
            "It would do alone what “Cells” and “Lamp” do together.",
            "It would be all that you own for light",
        ),
    ),
    "the only lamp by another": (
        [gear("lamp", "light", 200_000)],
        candidate("torch", "light", replaces=["lamp"]),
        ("It would be all that you own for light: try it near home",),
    ),
    "quilt and mat by a quilt": (
        [gear("quilt", "sleep", 600_000), gear("mat", "sleep", 400_000, r_value=3.5)],
        candidate("bag", "sleep", weight_mg=700_000, replaces=["quilt", "mat"]),
        (
            "It would do alone what “Mat” and “Quilt” do together.",
            "Its R-value is not noted, while what it replaces has one.",
            "Cold can injure and kill.",
        ),
    ),
    "a mat that insulates less": (
        [gear("mat", "sleep", 400_000, r_value=4.5), gear("quilt", "sleep", 500_000)],
        candidate("pad", "sleep", replaces=["mat"], r_value=1.8),
        ("Its R-value is 1.8 instead of 4.5: the ground takes more warmth.",),
    ),
    "a bank that holds less": (
        [gear("bank", "power", 300_000, capacity_wh=37.0)],
        candidate("small", "power", replaces=["bank"], capacity_wh=19.0),
        ("It holds 19 Wh instead of 37 Wh.", "keep batteries dry and undamaged"),
    ),
    "a jacket by a book": (
        [gear("jacket", "clothing", 300_000), gear("shirt", "clothing")],
        candidate("book", "leisure", replaces=["jacket"]),
        ("“Jacket” is for keeping warm: check that “Book” does that, too.",),
    ),
}


@pytest.mark.parametrize("name", CAUTIONED)
def test_a_function_that_is_lost_or_less_is_cautioned_about(connection: Any, name: str) -> None:
    owned, offered, cautions = CAUTIONED[name]
    case, row, every = told(connection, logbook(owned, offered))
    for one in cautions:
        assert one in row["caution"], one
    part = buying_page.read_buying(connection, "", today=TODAY, display=Display()).each().parts[0]
    assert part.caution
    assert cautions[0] in part.caution
    assert NOTHING not in every
    assert case.saved_g > 0


def test_like_for_like_in_plain_gear_needs_no_caution(connection: Any) -> None:
    tables = logbook(
        [gear("mug", "other", 200_000), gear("lamp", "light")],
        candidate("cup", "other", replaces=["mug"]),
    )
    _, row, _ = told(connection, tables)
    assert row["caution"] is None
    assert row["verdict"] == "A matter of price"


@pytest.mark.parametrize(
    ("old", "offered", "key", "warm"),
    [
        (gear("coat", "clothing", 200_000), {"system": "clothing"}, "Not known", True),
        (
            gear("vest", "other", 200_000, meant_for=["cold"]),
            {"system": "other"},
            "Not known",
            True,
        ),
        (gear("bag", "sleep", 200_000), {"system": "sleep"}, "Not known", True),
        (gear("bag", "sleep", 200_000), {"system": "sleep", "rated_low_c": 2.0}, "Not known", True),
        (gear("tent", "shelter", 200_000), {"system": "shelter"}, "Not known", False),
        (gear("mug", "other", 200_000), {"system": "other"}, "No bearing on cold nights", False),
    ],
)
def test_what_no_figure_compares_is_not_said_to_be_as_warm(
    connection: Any, old: dict[str, Any], offered: dict[str, Any], key: str, warm: bool
) -> None:
    new = candidate("new", name="New", replaces=[old["item"]], **offered)
    other = gear("spare", offered["system"])
    case, row, every = told(connection, logbook([old, other], new))
    assert cold_nights_with(case) == key
    unknown = f"Whether “New” is as warm as “{old['name']}”, the record cannot say"
    assert (unknown in every, unknown in (row["caution"] or "")) == (warm, warm)
    if row["verdict"].startswith("A matter of price"):
        assert row["verdict"].endswith(", if it is as warm") == warm


@pytest.mark.parametrize("what", ["sit mat", "Sit-Mat", "SIT MAT", "Foam, to sit on"])
@pytest.mark.parametrize("how", [("badly", "little"), (None, None), ("much", "much")])
def test_what_was_wished_for_twice_speaks_for_itself(
    connection: Any, what: str, how: tuple[str | None, str | None]
) -> None:
    offered = candidate("sit-mat", "leisure", name="Foam, to sit on")
    missed = [{"trip": f"t0{n}", "what": what, "how_much": how[n]} for n in range(2)]
    case, row, every = told(connection, logbook([gear("mug", "other")], offered, wished=missed))
    assert (case.wishes.notes, case.wishes.trips, row["wished_trips"]) == (2, 2, 2)
    assert verdict(case) == "wished_for"
    assert row["verdict"] == "You wished for it on 2 trips: a matter of price"
    ends = {
        ("badly", "little"): ": once badly and once a little.",
        (None, None): ".",
        ("much", "much"): ": twice much.",
    }
    assert row["reason_for"] == f"You noted on 2 trips that you missed it{ends[how]}"
    for slip in (
        NOTHING,
        "nothing that this record",
        "for none of them",
        "on trips where that was",
    ):
        assert slip not in every
    assert "“Foam, to sit on” would come beside what you have." in every


def test_a_wish_for_something_else_or_on_a_plan_is_none(connection: Any) -> None:
    tables = logbook([gear("mug", "other")], candidate("sit-mat", "leisure"))
    tables["trip"].append(trip("later", date(2020, 5, 1), 2, plan=True))
    tables["wished"] = [
        {"trip": "t01", "what": "sit mat, blue", "how_much": "badly"},
        {"trip": "later", "what": "sit-mat", "how_much": "badly"},
        {"trip": "t01", "item": "mug", "how_much": "badly"},
    ]
    case, row, _ = told(connection, tables)
    assert case.wishes.notes == row["wished_trips"] == 0
    assert row["verdict"] == NOTHING


@pytest.mark.parametrize(
    ("what", "system", "alike"),
    [
        ("A bigger TENT", "shelter", True),
        ("Tents for guests", "shelter", True),
        ("A bigger tent", "sleep", False),
        ("A bigger tent", None, False),
        ("A larger tarp", "shelter", False),
    ],
)
def test_a_wish_that_may_mean_it_is_told_and_decides_nothing(
    connection: Any, what: str, system: str | None, alike: bool
) -> None:
    offered = candidate("big-tent", "shelter", name="Larger tent, for two", weight_mg=2_000_000)
    tables = logbook(
        [gear("tent", "shelter", 1_000_000)],
        dict(offered, replaces=["tent"]),
        wished=[{"trip": "t01", "what": what, "system": system, "how_much": "much"}],
    )
    case, row, _ = told(connection, tables)
    assert case.wishes.notes == row["wished_trips"] == 0
    assert verdict(case) == "not_on_record"
    title = next(t["title"] for t in tables["trip"] if t["trip"] == "t01")
    said = (
        f"You wished for “{what}” once, on “{title}”; only you know whether this is what you meant"
    )
    assert row["verdict"] == (said if alike else NOTHING)
    assert (row["reason_for"] == f"{said}.") is alike


def test_one_wish_on_one_trip(connection: Any) -> None:
    offered = candidate("sit-mat", "leisure")
    tables = logbook(
        [gear("mug", "other")],
        offered,
        wished=[{"trip": "t01", "what": "sit-mat", "how_much": "badly"}],
    )
    _, row, _ = told(connection, tables)
    assert row["verdict"] == "You wished for it on 1 trip: a matter of price"
    assert row["reason_for"] == "You noted on 1 trip that you missed it: once badly."
    assert row["wished_badly"] == 1


def test_a_stove_that_failed_unsafely_is_the_strongest_reason(connection: Any) -> None:
    failures = [
        {"trip": "t00", "item": "stove", "severity": "impaired"},
        {"trip": "t01", "item": "stove", "severity": "unsafe"},
    ]
    owned = [gear("stove", "cook", 150_000), gear("chair", "leisure", 900_000, going_without=0.2)]
    tables = logbook(owned, candidate("burner", "cook", replaces=["stove"]), failures=failures)
    # Three nights with the stove; the chair came along unused, so that leaving it would save more.
    tables["carried"] = [carried(f"t{n:02}", "chair", used=0) for n in range(12)]
    tables["carried"] += [
        carried("t00", "stove", used=1),
        carried("t01", "stove", used=1, until_day=date(2019, 5, 9)),
    ]
    case, row, every = told(connection, tables)
    assert case.saved_g == 50
    assert row["reason_for"] == "“Stove” failed twice in 3 nights, once in an unsafe way."
    assert verdict(case) == "failed_unsafely"
    assert row["verdict"] == "“Stove” failed in an unsafe way: mend or replace it"
    assert "stoves, gas, batteries and buoyancy belong in qualified hands" in row["caution"]
    assert "wait with" not in every
    assert "too few nights to tell" in every
    assert (case.failures.now, row["failures_now"]) == (None, None)
    # Mended or not, what failed for good or again comes before grams.
    tables["failures"] = [dict(f, severity="lost_use") for f in failures]
    _, row, _ = told(connection, tables)
    assert row["reason_for"] == "“Stove” failed twice in 3 nights, twice for good."


def test_more_capacity_is_a_reason(connection: Any) -> None:
    tables = logbook(
        [gear("bank", "power", 100_000, capacity_wh=19.0)],
        candidate("big", "power", weight_mg=300_000, replaces=["bank"], capacity_wh=37.0),
    )
    case, row, _ = told(connection, tables)
    assert verdict(case) == "matter_of_price"
    assert row["reason_for"] == "It holds 37 Wh instead of 19 Wh."
    assert "37 Wh" not in row["reason_against"]


def test_nothing_on_record_never_stands_beside_a_saving(connection: Any) -> None:
    # Lighter, with a warmer rating: nights become colder, and yet it saves weight.
    owned = [gear("quilt", "sleep", 900_000, rated_low_c=0.0), gear("mat", "sleep", 400_000)]
    offered = candidate("sheet", "sleep", weight_mg=300_000, replaces=["quilt"], rated_low_c=8.0)
    days = [date(2019, 4, 10) + timedelta(28 * n + k) for n in range(12) for k in range(2)]
    names = [f"t{n // 2:02}" for n in range(24)]
    tables = logbook(
        owned,
        offered,
        weather=[{"trip": t, "day": d, "low_c": 5.0} for t, d in zip(names, days, strict=True)],
        comfort=[
            {"trip": t, "day": d, "aspect": "sleep", "score": 4, "warmth": 0}
            for t, d in zip(names, days, strict=True)
        ],
    )
    case, row, every = told(connection, tables)
    assert case.saved_g == 600
    assert NOTHING not in every
    assert row["verdict"] == "Colder than what you have"
    assert "It is rated to 8 °C, what it replaces to 0 °C" in row["caution"]
    assert "Cold can injure and kill." in row["caution"]


def test_only_what_the_verdicts_leave_at_home_is_an_alternative(connection: Any) -> None:
    # A spare battery that was used on two of three trips saves 2 kg and is no alternative to it.
    owned = [
        gear("spare", "other", 2_000_000, going_without=1.0),
        gear("jacket", "clothing", 350_000),
        gear("tarp", "shelter", 800_000, essential=True),
    ]
    tables = logbook(owned, candidate("light-jacket", "clothing", replaces=["jacket"]))
    tables["carried"] = [
        carried(f"t{n:02}", g["item"], used=int(g["item"] != "spare" or n % 3 != 0))
        for n in range(12)
        for g in owned
    ]
    case, row, every = told(connection, tables)
    assert row["let_go_g"] == row["let_go_missed"] == 0
    assert row["free_alternative"] is None
    assert row["free_alternative_g"] == 0
    assert "stay at home" not in every
    assert "“Spare” could" not in every
    assert verdict(case) == "matter_of_price"


def test_the_price_of_leaving_stands_beside_it(connection: Any) -> None:
    owned = [
        gear("saw, folding", "other", 400_000, going_without=1.0),
        gear("jacket", "clothing", 350_000),
        gear("tarp", "shelter", essential=True),
    ]
    tables = logbook(owned, candidate("light-jacket", "clothing", replaces=["jacket"]))
    tables["carried"] = [
        carried(f"t{n:02}", g["item"], used=int(g["system"] != "other"))
        for n in range(12)
        for g in owned
    ]
    case, row, every = told(connection, tables)
    assert verdict(case) == "leave_first"
    price = wanted(row["let_go_missed"], 1)
    assert price.startswith("you would want it about once in ")
    assert row["let_go_missed"] > 0
    # One price, wherever it stands.
    assert set(re.findall(r"[Yy]ou would want it about once in \d+ trips", every.lower())) == {
        price
    }
    assert "“Saw, Folding”" in row["reason_against"]


def test_a_count_of_nights_spared_has_its_range_everywhere(demo: Any) -> None:
    today = date(2026, 11, 25)
    page = buying_page.read_buying(demo, "", today=today, display=Display())
    replay = next(c.replay for c in page.cases if c.replay)
    assert replay.avoided_least <= replay.avoided <= replay.avoided_most
    assert replay.avoided_least < replay.avoided_most
    spread = f"(very likely {replay.avoided_least} to {replay.avoided_most})"
    places = [
        page.opening().text(),
        page.side_by_side().text(),
        *(p.text() for p in page.each().parts),
    ]
    many = 0
    for text in places:
        for line in re.split(r"(?<=[.;:])\s|\n", text):
            if re.search(
                rf"\b({replay.avoided} of (the )?\d+|all {replay.avoided}) nights?\b", line, re.I
            ):
                assert spread in line or spread in text, line
                many += 1
    assert many >= 4
    assert f"{replay.avoided} {spread}" in page.side_by_side().html()
    (row,) = [r for r in buying_rows(page.cases) if r["cold_votes_avoided"] is not None]
    assert (row["cold_votes_avoided_least"], row["cold_votes_avoided_most"]) == (
        replay.avoided_least,
        replay.avoided_most,
    )


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "1 oz = 28.349523125 g",
)
def test_in_ounces_a_price_is_for_the_ounce(connection: Any) -> None:
    tables = logbook(
        [gear("mug", "other", 128_349)], candidate("cup", "other", replaces=["mug"], price=56.0)
    )
    _, row, every = told(connection, tables, Display("oz", "f", "mi"))
    # 28.349 g saved are an ounce to the milligram: 56 USD for each.
    page = every[: every.index("cup\n")] if "\ncup\n" in every else every
    assert "56.00 USD for each ounce saved" in page
    assert "for each gram" not in page
    assert "Price per ounce saved" not in page  # one candidate has nothing to stand beside
    assert row["price_per_g_saved"] == pytest.approx(56 / 28.349)


def test_side_by_side_in_ounces(connection: Any) -> None:
    fill(
        connection,
        logbook(
            [gear("mug", "other", 128_349)],
            *(candidate(n, "other", replaces=["mug"], price=56.0) for n in ("cup", "bowl")),
        ),
    )
    page = buying_page.read_buying(connection, "", today=TODAY, display=Display("oz", "f", "mi"))
    shown = page.side_by_side().html()
    assert "Price per ounce saved" in shown
    assert not re.search(
        r"\bgrams?\b(?!<)", re.sub(r"<script.*?</script>|<[^>]*>", " ", shown, flags=re.DOTALL)
    )


def test_what_is_given_up_saves_nothing(connection: Any) -> None:
    gone = gear("mat", "sleep", 390_000, retired_on=date(2020, 3, 1))
    owned = [gear("quilt", "sleep"), gone, gear("book", "leisure", 940_000)]
    case, row, every = told(
        connection, logbook(owned, candidate("new-mat", "sleep", replaces=["mat"]))
    )
    assert case.saved_g == -100.0
    assert verdict(case) == "matter_of_price"
    assert "You gave up “mat”" in every.replace("Mat", "mat")
    assert "Not yet" not in row["verdict"]
    assert NOTHING not in every
