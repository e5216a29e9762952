"""Base weight over the seasons as a page: little data, odd data, the demo, and what adds up."""

import itertools
import json
import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from store_drawing import Row, Tables, carried, empty_store, fill, gear, trip
from tarebook.analysis.base_weight.page import page as trend_page
from tarebook.analysis.base_weight.page.charts import SEASONS
from tarebook.analysis.base_weight.page.page import TrendPage
from tarebook.analysis.base_weight.page.waterfall import Fall, FallStep, steps_in_order, waterfall
from tarebook.analysis.display.cautions import TARGET_CARE
from tarebook.analysis.display.figure import Figure
from tarebook.analysis.display.sections import Section
from tarebook.analysis.display.theme import LAYOUTS, NARROW, WIDE, Layout
from tarebook.analysis.display.words import Display, Scale, small_mass
from tarebook.analysis.store.opening import open_store
from tarebook.tripdata.demo import truth
from tarebook.tripdata.store import store_path

PARTS = tuple(
    name
    for name in vars(TrendPage)
    if not name.startswith("_") and name not in ("trends", "change", "goal_g", "display", "opening")
)
UNITS = (Display(), Display("oz", "f", "mi"))


def plain(text: str) -> str:
    return text.replace("\u202f", " ")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


@pytest.fixture(scope="module")
def of_demo(demo_folder: Path) -> Callable[..., TrendPage]:
    made: dict[Any, TrendPage] = {}

    def give(display: Display = UNITS[0], **asked: str) -> TrendPage:
        key = (display, *sorted(asked.items()))
        if key not in made:
            with open_store(store_path(demo_folder)) as store:
                made[key] = trend_page.read_trend(store, display=display, **asked)
        return made[key]

    return give


def trips(*starts: date, lows: bool = True, mode: str = "foot", **more: Any) -> Tables:
    """Trips of two nights that carry a tent, a quilt and, when it is cold, a jacket."""
    tables: Tables = {
        "gear": [
            gear("tent", "shelter", 1_200_000),
            gear("quilt", "sleep", 600_000),
            gear("jacket", "clothing", 350_000),
            gear("kit", "first_aid", 150_000),
        ],
        "trip": [trip(f"t{n}", start, 2, mode=mode, **more) for n, start in enumerate(starts)],
        "carried": [],
        "weather": [],
    }
    for n, one in enumerate(tables["trip"]):
        cold = one["start_on"].month in (11, 12, 1, 2, 3)
        items = ["tent", "quilt", "kit", *(["jacket"] if cold else [])]
        tables["carried"] += [carried(one["trip"], item) for item in items]
        if lows:
            tables["weather"].append(
                {"trip": one["trip"], "day": one["start_on"], "low_c": (0.0 if cold else 9.0) + n}
            )
    return tables


def months(year: int, *those: int) -> list[date]:
    return [date(year, month, 10) for month in those]


def unweighed(tables: Tables) -> Tables:
    tables["gear"][0]["weight_mg"] = None
    return tables


def plans(tables: Tables) -> Tables:
    for row in tables["trip"]:
        row["plan"] = True
    return tables


def modes(tables: Tables) -> Tables:
    ways: list[Row] = tables["trip"]
    for n, row in enumerate(ways):
        row["mode"] = (None, "foot", "bike", "ebike")[n % 4]
    return tables


EVERY_MONTH = [*months(2024, *range(1, 13)), *months(2025, *range(1, 13))]
BOOKS: dict[str, Tables] = {
    "no trip": {"gear": [gear("tent", "shelter")]},
    "one trip": trips(date(2026, 6, 1)),
    "two trips": trips(date(2026, 6, 1), date(2026, 7, 1)),
    "two trips on one day": trips(date(2026, 6, 1), date(2026, 6, 1)),
    "three summers": trips(*(date(y, 7, 1) for y in (2024, 2025, 2026))),
    "one season": trips(*months(2026, 6, 7, 8), *months(2026, 6, 7, 8)),
    "one season and one day": trips(*[date(2026, 6, 1)] * 7),
    "gaps of years": trips(
        date(2012, 6, 1),
        date(2012, 12, 1),
        date(2019, 6, 5),
        date(2020, 1, 1),
        *months(2026, 6, 7, 12),
    ),
    "without temperatures": trips(*EVERY_MONTH[:14], lows=False),
    "day trips": trips(*EVERY_MONTH[:5])
    | {"trip": [trip(f"t{n}", day, 0) for n, day in enumerate(EVERY_MONTH[:5])]},
    "nothing weighed in full": unweighed(trips(*EVERY_MONTH[:6])),
    "only plans": plans(trips(*EVERY_MONTH[:6])),
    "many ways": modes(trips(*EVERY_MONTH)),
    "south": trips(*EVERY_MONTH, latitude=-41.0),
    "never changes": trips(*[d for d in EVERY_MONTH if d.month in (5, 6, 7, 8, 9)]),
}


def sections(page: TrendPage) -> dict[str, Section]:
    return {name: getattr(page, name)() for name in PARTS}


def all_text(page: TrendPage, shown: Iterable[Section] = ()) -> str:
    pieces = [page.opening(), *(shown or sections(page).values())]
    html = (re.sub(r"<script.*?</script>", "", each.html(), flags=re.S) for each in pieces)
    # Names of parts of a drawing hold digests, in which anything may stand.
    return re.sub(r'\bid="[^"]*"|url\(#[^)]*\)', "", "\n".join(html))


@pytest.mark.parametrize("name", BOOKS)
@pytest.mark.parametrize("display", UNITS, ids=("metric", "imperial"))
def test_every_logbook_gives_a_sensible_page(store: Any, name: str, display: Display) -> None:
    fill(store, BOOKS[name])
    page = trend_page.read_trend(store, display=display)
    assert page.opening().points, "it always answers"
    shown = sections(page).values()
    text = all_text(page, shown)
    for odd in ("nan", "inf ", "None", "NaN", "{", "day_trip", "theil_sen", "−0 g", "e-0"):
        assert odd not in text, odd
    for each in shown:
        assert (each.missing is None) == bool(each.html())
        for layout in LAYOUTS:
            if each.figure:
                checked(each.figure, layout)


def checked(figure: Figure, layout: Layout, *, validate: bool = False) -> dict[str, Any]:
    """A picture that can be drawn and keeps within its width; validate against the schema, too."""
    spec = figure.spec(layout, validate=validate)
    svg = figure.svg(layout)
    assert float(svg.split('width="', 1)[1].split('"', 1)[0]) <= layout.px + 1
    return spec


@pytest.mark.parametrize(
    ("name", "begins"),
    [
        ("no trip", "There is no trip with a night whose base weight is known."),
        ("one trip", "Too early to say: 1 trip; it takes six"),
        ("two trips", "Too early to say: 2 trips; it takes six"),
        ("without temperatures", "The log cannot say: no night low is known, so what cold adds"),
        ("day trips", "There is no trip with a night"),
        ("only plans", "There is no trip with a night"),
        ("never changes", "No change: at equal cold it weighs the same over 1.3 years."),
    ],
)
def test_the_answer_comes_first(store: Any, name: str, begins: str) -> None:
    fill(store, BOOKS[name])
    page = trend_page.read_trend(store, display=UNITS[0])
    assert plain(page.opening().points[0].answer).startswith(begins)


def test_what_cannot_be_told_says_why(store: Any) -> None:
    def told(name: str, part: str) -> str:
        fill(store, BOOKS[name])
        section = getattr(trend_page.read_trend(store, display=UNITS[0]), part)()
        return plain(section.missing or " ".join(section.answer))

    assert told("three summers", "like_for_like") == (
        "too early to say: 3 trips; it takes six with a known night low, more where ways of "
        "travelling differ"
    )
    assert "no night low is known" in told("without temperatures", "like_for_like")
    for name in ("one season", "one season and one day"):
        assert told(name, "like_for_like").startswith("too early to say: these trips span less")
    assert told("one season", "where_it_went").startswith("no two seasons of the same name")
    assert told("one trip", "by_mode") == "there is one way of travelling only"
    assert told("two trips", "by_system") == "too few trips to compare systems"
    assert "a day trip" in told("day trips", "not_told") or told("day trips", "left_out")
    fill(store, BOOKS["one trip"])
    page = trend_page.read_trend(store, display=UNITS[0])
    # Small logbooks get small pages: one sentence in the opening, no section that cannot tell.
    assert page.not_told().html() == ""
    assert page.next_target().html() == ""
    assert page.opening().notices[0].startswith("Trends need at least 4 trips with nights")
    assert page.like_for_like().html() == ""
    assert page.as_carried().figure is None, "one mark is no picture"
    fill(store, BOOKS["two trips"])
    pair = trend_page.read_trend(store, display=UNITS[0])
    assert pair.as_carried().figure is not None, "the bare points are shown"
    fill(store, BOOKS["one season"])
    several = trend_page.read_trend(store, display=UNITS[0])
    assert [line.split(":")[0] for line in several.not_told().answer][:1] == ["Like for like"]


def test_the_demos_planted_fall_lies_inside_and_its_seasons_are_seen_through(
    of_demo: Callable[..., TrendPage],
) -> None:
    trends = of_demo().trends
    fit = trends.fit
    assert fit is not None
    assert fit.slope.low <= truth.BASE_WEIGHT_TREND_G_PER_YEAR <= fit.slope.high
    assert fit.slope.value < 0
    assert fit.per_degree.high < 0
    answer = of_demo().opening().points[0]
    assert answer.leads
    assert trends.whole.headline == "no_trend", "27 trips cannot tell it from a kit that wanders"
    assert answer.answer.replace("\u202f", " ").startswith(
        "Yes, at equal cold: about 880 g lighter than 3.5 years ago ("
    )
    assert of_demo().opening().caution == TARGET_CARE, "it names savings and a target"
    (by_system,) = [p.answer for p in of_demo().opening().points if p.about == "By system"]
    assert "clothing 246\u202fg heavier little by little and safety" in by_system
    assert of_demo().estimators().notes[0].startswith("The answer says how much the kit changed")
    assert of_demo().opening().sentence == f"Really lighter? {answer.answer}"
    assert answer.answer.endswith(
        "). On the scale it hardly shows, because the trips grew colder. It is too early "
        "to say whether that goes on."
    )
    assert fit.kit is not None
    assert fit.kit.sure
    assert fit.kit.change.low <= 3.5 * truth.BASE_WEIGHT_TREND_G_PER_YEAR <= fit.kit.change.high
    told = " ".join(f"{p.answer} {p.more}" for p in of_demo().opening().points)
    assert "“Headlamp, rechargeable” instead of “Headlamp, three cells” (−43\u202fg)" in told
    assert "“Inflatable pillow” (−39\u202fg, left at home)" in told
    # Its systems do tell: what was bought shows as steps.
    steps = {s.name for s in trends.systems if s.headline == "step"}
    assert {"shelter", "cook", "power"} <= steps


def layered(*lows_c: float) -> Tables:
    """A trip a quarter in the same tent, with a layer more for every 3 °C that it is colder."""
    starts = [date(2023 + n // 4, 2 + 3 * (n % 4), 10) for n in range(len(lows_c))]
    tables = trips(*starts)
    tables["gear"].append(gear("layer", "clothing", 150_000))
    tables["carried"] = [row for row in tables["carried"] if row["item"] != "jacket"]
    for row, low in zip(tables["weather"], lows_c, strict=True):
        row["low_c"] = low
        tables["carried"].append(
            carried(row["trip"], "layer", quantity=max(1, round((16 - low) / 3)))
        )
    return tables


def test_trips_that_grow_milder_or_colder_are_seen_through(store: Any) -> None:
    milder = (-6.0, -2.5, 1.0, -3.0, -1.0, 3.5, 6.0, 2.0, 4.5, 8.0, 11.0, 9.5)
    for lows, scale in ((milder, "Lighter"), (milder[::-1], "Heavier")):
        fill(store, layered(*lows))
        page = trend_page.read_trend(store, display=UNITS[0])
        raw, fit = page.trends.whole.slope, page.trends.fit
        assert raw is not None
        assert fit is not None
        assert raw.low > 0 or raw.high < 0
        assert not fit.slope.sign_known
        answer = page.opening().points[0].answer
        assert answer.startswith(f"{scale} on the scale, ")
        assert "at equal cold that may be no change at all" in answer


def test_one_summer_gives_no_rate(store: Any) -> None:
    """A rate a year from eighteen days is none, however steady the fall."""
    tables = layered(*[10.0 + n % 3 for n in range(7)])
    for n, row in enumerate(tables["trip"]):
        row["start_on"], row["end_on"] = date(2026, 6, 1 + 3 * n), date(2026, 6, 3 + 3 * n)
        tables["weather"][n]["day"] = row["start_on"]
    tables["gear"].append(gear("stone", "other", 100_000))
    tables["carried"] += [carried(f"t{n}", "stone", quantity=10 - n) for n in range(7)]
    fill(store, tables)
    page = trend_page.read_trend(store, display=UNITS[0])
    assert page.opening().points[0].answer.startswith("Too early to say: these trips span less")
    assert page.trends.whole.slope is None
    assert not re.search(r"(less|more) a year", page.opening().text())


def test_what_is_asked_for_narrows_the_page(of_demo: Callable[..., TrendPage]) -> None:
    page = of_demo(mode="bike", since="2024-01-01")
    assert {t.mode for t in page.trends.weights.trips} == {"bike"}
    assert page.opening().lines[0].endswith("by bike only")
    assert page.by_mode().missing
    sleep = of_demo(system="sleep")
    assert sleep.opening().title == "Base weight over the seasons: sleep"
    assert sleep.next_target().missing == "a target is for the whole base weight"
    assert sleep.by_system().missing
    assert {system for _, system in sleep.change.gear.values()} == {"sleep"}  # type: ignore


def test_seasons_are_told_apart_by_shape_and_by_colour(of_demo: Callable[..., TrendPage]) -> None:
    colours, shapes = zip(*SEASONS.values(), strict=True)
    assert len(set(shapes)) == len(set(colours)) == 4
    for layout in LAYOUTS:
        for part in ("as_carried", "like_for_like"):
            spec = getattr(of_demo(), part)().figure.spec(layout)
            dots = spec["layer"][-1]["encoding"]
            assert dots["shape"]["field"] == dots["color"]["field"] == "season"
            assert dots["shape"]["scale"]["range"] == list(shapes)
            assert dots["color"]["scale"]["range"] == list(colours)
        panels = json.dumps(of_demo().by_system().figure.spec(layout))  # type: ignore[union-attr]
        assert panels.count('"shape": {"field": "season"') == 9


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda each: each.name)
def test_every_picture_is_valid_and_names_its_unit(
    of_demo: Callable[..., TrendPage], layout: Layout
) -> None:
    expected = {
        "as_carried": "Base weight (lb)",
        "like_for_like": "Base weight (lb)",
        "by_mode": "Change per year (oz)",
        "where_it_went": "Mean base weight (oz)",
        "change_by_system": "Mean base weight (oz)",
        "by_system": "oz per year",
    }
    for part, title in expected.items():
        figure = getattr(of_demo(UNITS[1]), part)().figure
        text = json.dumps(checked(figure, layout, validate=True), ensure_ascii=False)
        assert title in text.replace("\u202f", " "), part


def test_names_of_things_stand_in_marks_and_lows_are_usual(
    of_demo: Callable[..., TrendPage],
) -> None:
    where = of_demo().where_it_went()
    text = " ".join((*where.answer, *where.notes))
    assert "“Headlamp, rechargeable” instead of “Headlamp, three cells” (" in text
    carried = of_demo().as_carried()
    assert carried.table is not None
    assert "Usual low" in [column.header for column in carried.table.columns]


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "20 lb are 9.07 kg, 10 lb 4.54 kg",
)
def test_class_lines_stand_where_they_fall_inside(of_demo: Callable[..., TrendPage]) -> None:
    figure = of_demo().as_carried().figure
    assert figure is not None
    svg = figure.svg(WIDE)
    assert "lightweight below 9.07\u202fkg" in svg
    assert "ultralight below 4.54" not in svg
    assert "lightweight below" not in of_demo(system="sleep").as_carried().figure.svg(WIDE)  # type: ignore


def test_left_out_trips_are_in_the_picture_and_in_the_table(
    of_demo: Callable[..., TrendPage],
) -> None:
    section = of_demo().left_out()
    assert section.table is not None
    reasons = {row["title"]: row["why"] for row in section.table.rows}
    assert len(reasons) == 4
    for plan in ("First gravel of spring", "Larkspur Flat by e-bike"):
        assert reasons[plan] == "a plan"
    assert sum(why.startswith("a day trip") for why in reasons.values()) == 2
    spec = of_demo().as_carried().figure.spec(WIDE)  # type: ignore[union-attr]
    titles = {row.get("title") for rows in spec["datasets"].values() for row in rows}
    assert set(reasons) <= titles


def test_means_by_season_and_year_are_those_of_pandas(of_demo: Callable[..., TrendPage]) -> None:
    import pandas as pd

    page = of_demo()
    kept = pd.DataFrame(
        {"season": t.season, "year": str(t.start_on.year), "g": t.base_g, "low_c": t.measured_low_c}
        for t in page.trends.weights.counted
    )
    shown = {row["period"]: row for row in page.as_carried().more[0].rows}
    expected = {}
    for by, name in (("season", "{1} {0}"), ("year", "{0} in all")):
        for period, group in kept.groupby(by):
            expected[name.format(*str(period).split())] = group
    assert set(shown) == set(expected)
    for period, group in expected.items():
        row = shown[period]
        assert row["trips"] == len(group)
        assert row["mean_g"] == pytest.approx(group["g"].mean(), rel=1e-12)
        assert row["median_g"] == pytest.approx(group["g"].median(), rel=1e-12)
        assert row["low_c"] == pytest.approx(group["low_c"].mean(), rel=1e-12)


def shown_number(text: str) -> float:
    return float(text.split("\u202f")[0].replace("−", "-").replace("+", ""))


def steps_of(figure: Figure, layout: Layout) -> list[Row]:
    spec = figure.spec(layout)
    (rows,) = [rows for rows in spec["datasets"].values() if rows and "name" in rows[0]]
    found: list[Row] = rows
    return found


@pytest.mark.parametrize("display", UNITS, ids=("metric", "imperial"))
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("", ""),
        ("2023", "2026"),
        ("2024 summer", "2026 winter"),
        ("2026", "2023 autumn"),
        ("2025", "2025 winter"),
    ],
)
def test_the_waterfall_ends_where_it_should_on_display_too(
    of_demo: Callable[..., TrendPage], display: Display, one: str, other: str
) -> None:
    page = of_demo(display, from_season=one, to_season=other)
    assert page.change is not None
    went = page.where_it_went()
    for section in (went, page.change_by_system()):
        if section.missing:
            continue
        assert section.figure is not None
        rows = steps_of(section.figure, NARROW)
        assert rows == steps_of(section.figure, WIDE)
        for above, below in itertools.pairwise(rows[:-1]):
            assert below["from"] == above["to"]
        assert rows[-2]["to"] == pytest.approx(rows[-1]["to"], abs=1e-6)
        start, *steps, end = [shown_number(row["shown"]) for row in rows]
        assert round(start + sum(steps), 1) == end
        unit = 1000 if display.mass == "g" else 28349.523125
        half = 0.5 if display.mass == "g" else 0.05
        assert abs(start - float(page.change.before_mg) / unit) <= half + 1e-9
        assert abs(end - float(page.change.after_mg) / unit) <= half + 1e-9
        assert len(rows) <= 16
    tables = [went.table, *went.more]
    for table in tables:
        assert table is not None
        assert round(sum(row["step"] for row in table.rows), 1) == round(end - start, 1)


def test_small_steps_are_told_together_and_the_order_falls_then_rises() -> None:
    scale = Scale("g")
    steps = [FallStep(f"s{n}", by, "") for n, by in enumerate((5, -90, 40, -3, -2, 4, 70, -60))]
    kept = steps_in_order(steps, scale, 6)
    assert [(s.name, s.by) for s in kept] == [
        ("s1", -90),
        ("s7", -60),
        ("2 smaller savings", -5),
        ("2 smaller additions", 9),
        ("s2", 40),
        ("s6", 70),
    ]
    assert steps_in_order(steps, scale, 8) == steps_in_order(steps, scale)


def test_one_step_alone_is_drawn() -> None:
    fall = Fall("2025", 5000, "2026", 4999, (FallStep("Peg", -1, "−1 g"),))
    checked(
        Figure("x", "A step.", lambda layout: waterfall(fall, small_mass(Display()), layout)),
        NARROW,
    )


def test_the_page_is_the_same_twice(demo_folder: Path, of_demo: Callable[..., TrendPage]) -> None:
    with open_store(store_path(demo_folder)) as again:
        page = trend_page.read_trend(again, display=UNITS[0])
    assert all_text(page) == all_text(of_demo())
