"""What the page on base weight may not say, from the logbooks from which it would be wrong."""

import re
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reports_read import drawn_if
from store_drawing import Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.base_weight.page import page as trend_page
from tarebook.analysis.base_weight.page.page import TrendPage
from tarebook.analysis.display.words import Display
from tarebook.analysis.tables import TABLES

METRIC, IMPERIAL = Display(), Display("oz", "f", "mi")
A_YEAR = re.compile(r"\d[^.;]*(less|more) per year")
DATED = re.compile(r"around \w+ \d{4} at this rate")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def book(
    grams: list[float],
    *,
    modes: list[str | None] | None = None,
    lows: list[float | None] | None = None,
    nights: list[int] | None = None,
    starts: list[date] | None = None,
) -> Tables:
    """Trips that carry one thing of so many grams; by default a trip a quarter, on foot."""
    n = len(grams)
    modes = modes or ["foot"] * n
    lows = lows or [5.0 + 4 * (i % 3) for i in range(n)]
    nights = nights or [2] * n
    starts = starts or [date(2023, 2, 10) + timedelta(91 * i) for i in range(n)]
    tables: Tables = {
        "gear": [gear("load", "shelter", 1_000_000)],
        "trip": [trip(f"t{i:02}", starts[i], nights[i], mode=modes[i]) for i in range(n)],
        "carried": [
            carried(f"t{i:02}", "load", weight_mg=round(grams[i] * 1000)) for i in range(n)
        ],
        "weather": [
            {"trip": f"t{i:02}", "day": starts[i], "low_c": lows[i]}
            for i in range(n)
            if lows[i] is not None
        ],
    }
    return tables


def page_of(store: Any, tables: Tables, display: Display = METRIC, goal_g: int = 0) -> TrendPage:
    fill(store, tables)
    store.execute("DELETE FROM settings")
    if goal_g:
        store.execute("INSERT INTO settings VALUES ('goals.base_weight_g', ?)", [str(goal_g)])
    return trend_page.read_trend(store, display=display)


def parts(page: TrendPage) -> list[str]:
    names = (
        "as_carried",
        "like_for_like",
        "by_system",
        "by_mode",
        "where_it_went",
        "change_by_system",
        "next_target",
        "left_out",
        "estimators",
        "not_told",
    )
    return [page.opening().html(), *(getattr(page, name)().html() for name in names)]


def words_of(page: TrendPage, drawn: bool = True) -> str:
    with drawn_if(drawn):
        html = " ".join(parts(page))
    text = re.sub(r"<script.*?</script>|<svg.*?</svg>", "", html, flags=re.S)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text).replace("\u202f", " "))


def headline(store: Any, tables: Tables) -> tuple[str, str | None]:
    fill(store, tables)
    rows = TABLES["base_weight_trend"].rows(store)
    (row,) = {(r["headline"], r["reason"]) for r in rows if r["scope"] == "all"}
    return row


SUMMER = [date(2026, 6, 5), date(2026, 6, 20), date(2026, 7, 9), date(2026, 8, 2)]


@pytest.mark.parametrize("lows", [[9.0, 12.0, 10.0, 11.0], [None] * 4])
@pytest.mark.parametrize("modes", [["foot", "ebike", "paddle", "foot"], [None] * 4])
def test_four_trips_on_foot_by_e_bike_and_boat(
    store: Any, lows: list[float | None], modes: list[str | None]
) -> None:
    tables = book([7200.0, 16100.0, 12400.0, 7000.0], modes=modes, lows=lows, starts=SUMMER)
    assert headline(store, tables)[0] == "cannot_tell"
    for display in (METRIC, IMPERIAL):
        page = page_of(store, tables, display, 6000)
        text = words_of(page)
        assert not A_YEAR.search(text)
        assert not DATED.search(text)
        assert "median of 4 trips" not in text
        usual = next(p for p in page.opening().points if p.about == "Usual base weight").answer
        if modes[0]:
            assert "On foot" in usual
            assert "by e-bike" in usual
            assert "by boat" in usual
        else:
            assert usual.startswith("4 trips of 4 do not say how you travelled")


def one_tent(n: int, seed: int) -> list[float]:
    rng = np.random.default_rng(seed)
    return [float(8200 - 900 * (i >= n // 2) + rng.normal(0, 70)) for i in range(n)]


@pytest.mark.parametrize("n", [8, 12, 24])
@pytest.mark.parametrize("blank", [False, True])
def test_one_lighter_tent_and_nothing_after(store: Any, n: int, blank: bool) -> None:
    tables = book(one_tent(n, n), lows=[None] * n if blank else None)
    page = page_of(store, tables, goal_g=6000)
    text = words_of(page)
    assert not A_YEAR.search(text)
    assert not DATED.search(text)
    assert "No date for 6.00 kg" in text
    answer = page.opening().points[0].answer.replace("\u202f", " ")
    slug, reason = headline(store, tables)
    when = (date(2023, 2, 10) + timedelta(91 * (n // 2))).strftime("%B %Y")
    if blank:
        assert (slug, reason) == ("cannot_tell", "no_lows")
        assert "On the scale it got lighter, but that may be the season alone." in answer
        assert "step" not in answer
    else:
        assert slug in ("step", "no_trend") if n == 8 else slug == "step"
    if slug == "step":
        assert re.match(rf"One step of −\d+ g in {when}, level since", answer), answer
        row = next(
            r
            for r in TABLES["base_weight_trend"].rows(store)
            if (r["scope"], r["method"]) == ("all", "like_for_like")
        )
        assert row["step_on"] == date(2023, 2, 10) + timedelta(91 * (n // 2))
        assert row["step_low"] <= -900 <= row["step_high"]


def test_a_steady_fall_is_told_with_its_rate_and_date(store: Any) -> None:
    rng = np.random.default_rng(2)
    grams = [9000 - 100 * i + float(rng.normal(0, 60)) for i in range(16)]
    tables = book(grams)
    assert headline(store, tables) == ("lighter", None)
    page = page_of(store, tables, goal_g=6800)
    answer = page.opening().points[0].answer
    assert answer.startswith("Really lighter: like for like, ")
    assert "g less per year (very likely " in answer
    assert "90" not in answer
    assert DATED.search(words_of(page))
    # Nothing is dated beyond as many years as the log is long.
    far = words_of(page_of(store, tables, goal_g=3000))
    assert "further off than the log is long, so there is no date" in far
    assert not DATED.search(far)


def test_a_date_never_has_an_interval_of_no_width(store: Any) -> None:
    page = page_of(store, book([9000.0 - 100 * i for i in range(12)]), goal_g=7500)
    text = words_of(page)
    (ends,) = set(re.findall(r"very likely (\w+ \d{4}) to (\w+ \d{4})", text))
    assert ends[0] != ends[1]


@pytest.mark.parametrize("noted", [0, 5, 9])
def test_while_modes_are_not_noted_there_is_no_headline(store: Any, noted: int) -> None:
    modes = ["foot" if i < noted else None for i in range(12)]
    tables = book([9000.0 - 100 * i for i in range(12)], modes=modes)
    assert headline(store, tables) == ("cannot_tell", "modes")
    page = page_of(store, tables, goal_g=6000)
    text = words_of(page)
    assert f"{12 - noted} of 12 trips do not say how you travelled" in text
    assert not A_YEAR.search(text)
    assert not DATED.search(text)
    rows = TABLES["base_weight_trend"].rows(store)
    assert all(row["slope_g_per_year"] is None for row in rows)


def test_two_seasons_and_two_trips_are_told_with_their_cold(store: Any) -> None:
    starts = [date(y, 7, d) for y in (2025, 2026) for d in (1, 12, 25)]
    grams = [8000.0, 8100.0, 8050.0, 7400.0, 7500.0, 7450.0]
    lows: list[float | None] = [2.0, 3.0, 4.0, 11.0, 12.0, 13.0]
    page = page_of(store, book(grams, lows=lows, starts=starts))
    since = next(p for p in page.opening().points if p.about == "Since summer 2025")
    assert "lowest nights on average 3.0 °C then, 12.0 °C now" in since.answer.replace(
        "\u202f", " "
    )
    assert "lowest nights 12.0 °C on average" in page.where_it_went().answer[0].replace(
        "\u202f", " "
    )
    weighs = page.as_carried().answer[1].replace("\u202f", " ")
    assert "(on foot, lowest night 11 °C), the heaviest" in weighs
    assert weighs.endswith("(on foot, lowest night 3 °C).")
    unknown = page_of(store, book(grams, lows=[2.0, None, 4.0, None, None, None], starts=starts))
    since = next(p for p in unknown.opening().points if p.about == "Since summer 2025")
    assert "known of 2 of 3" in since.answer
    assert "summer 2026: how cold the nights were is not known" in since.answer


def test_the_owners_units_everywhere(store: Any) -> None:
    rng = np.random.default_rng(3)
    falling = [9000 - 100 * i + float(rng.normal(0, 60)) for i in range(16)]
    modes: list[str | None] = [("foot", "bike")[i % 2] for i in range(16)]
    for grams, ways in ((falling, None), (falling, modes), (one_tent(12, 5), None)):
        tables = book(grams, modes=ways)
        ours = words_of(page_of(store, tables, IMPERIAL, 6800))
        assert not re.search(r"\d (g|kg|km|°C)\b|\((g|kg|km|°C)\)", ours)
        theirs = words_of(page_of(store, tables, METRIC, 6800), drawn=False)
        assert not re.search(r"\d (oz|lb|mi|°F)\b|\((oz|lb|mi|°F)\)", theirs)


@settings(
    max_examples=25,
)
@given(st.data())
def test_no_page_goes_beyond_its_headline(store: Any, data: st.DataObject) -> None:
    """Any logbook, any column blank: a rate only where one is told, a date only for a fall."""
    n = data.draw(st.integers(1, 14))
    rng = np.random.default_rng(data.draw(st.integers(0, 10_000)))
    blank = data.draw(st.sampled_from((0.0, 0.2, 1.0)))
    modes = [
        None if rng.random() < blank else str(rng.choice(["foot", "bike", "paddle"]))
        for _ in range(n)
    ]
    no_low = data.draw(st.sampled_from((0.0, 0.3, 1.0)))
    lows = [None if rng.random() < no_low else float(rng.normal(8, 5)) for _ in range(n)]
    fall = data.draw(st.sampled_from((0, 60, 200)))
    apart = data.draw(st.sampled_from((3, 40, 120)))
    tables = book(
        [float(9000 - fall * i + rng.normal(0, 150)) for i in range(n)],
        modes=modes,
        lows=lows,
        nights=[int(k) for k in rng.integers(0, 5, n)],
        starts=[date(2022, 3, 1) + timedelta(apart * i) for i in range(n)],
    )
    page = page_of(store, tables, goal_g=7000)
    text = words_of(page, drawn=n % 5 == 0)
    slug, reason = headline(store, tables)
    assert (reason is not None) == (slug == "cannot_tell")
    opening = page.opening().text()
    if slug not in ("lighter", "heavier"):
        assert not A_YEAR.search(opening)
    if slug != "lighter":
        assert not DATED.search(text)
    for odd in ("nan", "inf ", "None"):
        assert odd not in opening


MILD = [8.1, 14.1, 9.5, 6.5, 12.0, 7.4, 11.2, 10.3, 6.9, 13.0]
LEVEL = [7900.0, 8010.0, 7950.0, 8060.0, 7880.0, 8020.0, 7930.0, 8000.0, 8040.0, 7860.0]


def test_what_goes_in_at_the_first_cold_trips_is_no_step(store: Any) -> None:
    grams, lows = [*LEVEL, 9010.0, 9190.0], [*MILD, 4.3, 3.8]
    text = page_of(store, book(grams, lows=[*lows])).opening().text()
    assert "step" not in text
    assert not A_YEAR.search(text)
    assert "cannot be" in text
    # The same two trips among cold ones and mild ones are a step.
    lows[2], lows[5], lows[-2:] = 3.5, 4.0, [9.0, 8.0]
    later = page_of(store, book([*grams, 9100.0, 9060.0], lows=[*lows, 3.9, 11.0])).opening().text()
    assert "One step of +" in later


def test_the_look_back_has_no_usual_weight_of_walking_bike_and_boat(store: Any) -> None:
    from tarebook.analysis.cull.page import page as cull_page
    from tarebook.analysis.cull.results import Wish
    from tarebook.analysis.store.scope import Scope

    ways: list[str | None] = ["foot", "ebike", "paddle", "foot"]
    for modes, begins in (
        (
            ways,
            None,
        ),
        ([None] * 4, "Base weight 9.80 kg, the median of 4 trips, of which some do not say"),
        (["foot"] * 4, "Usual base weight 9.80 kg, the median of 4 trips"),
    ):
        tables = book([7200.0, 16100.0, 12400.0, 7000.0], modes=modes, starts=SUMMER)
        fill(store, tables)
        page = cull_page.read_cull(store, Scope(), Wish(), today=date(2026, 9, 1), display=METRIC)
        lines = page.opening().lines
        if begins is None:
            assert len(lines) == 1
            continue
        assert lines[1].replace("\u202f", " ").startswith(begins)
