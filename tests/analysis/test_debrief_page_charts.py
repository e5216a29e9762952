"""The pictures of a debrief: valid, labelled, of the right numbers, and alike on every machine."""

import itertools
import json
import re
from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.debrief.events import Event
from tarebook.analysis.debrief.nights import TripNight
from tarebook.analysis.debrief.page.charts import changes_chart
from tarebook.analysis.debrief.page.temperature_panel import _along
from tarebook.analysis.debrief.page.trip_chart import TripLine, trip_chart
from tarebook.analysis.display.bars import Bar, Group, bar_chart, longest
from tarebook.analysis.display.day_axis import day_names, label_expression
from tarebook.analysis.display.figure import Figure
from tarebook.analysis.display.theme import ACCENT, CONTEXT, LAYOUTS, NARROW, WIDE, Layout
from tarebook.analysis.display.words import Display

Logbook = Callable[[str], Path]
Pages = Callable[..., Any]
MAY = date(2026, 5, 1)
PICTURES = ("never_out", "story", "weight", "bags", "changes")
UNITS = (("g", "c", "km"), ("oz", "f", "mi"))


def marks(spec: Any) -> Iterator[dict[str, Any]]:
    """Every single view of a spec."""
    if isinstance(spec, dict):
        if "mark" in spec:
            yield spec
        for key in ("layer", "vconcat", "hconcat", "concat"):
            for inner in spec.get(key, ()):
                yield from marks(inner)


def rows_of(spec: dict[str, Any], view: dict[str, Any]) -> list[dict[str, Any]]:
    data = view.get("data") or spec["data"]
    found: list[dict[str, Any]] = spec["datasets"][data["name"]]
    return found


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda each: each.name)
def test_every_picture_is_valid_and_names_its_units(
    logbook: Logbook, debrief_page: Pages, layout: Layout, units: tuple[str, str, str]
) -> None:
    page = debrief_page(logbook("lakes"), "2026-05-river", *units)
    mass, heat, way = units
    expected = {
        "never_out": {f"Weight ({mass})"},
        "story": {
            f"Distance ({way})",
            "Climbing (m)" if way == "km" else "Climbing (ft)",
            f"Temperature (°{heat.upper()})",
            "Slept (1 to 5, 5 best)",
            "Felt (−3 cold to +3 hot)",
            "Failures (crosses) and notes (dots)",
            "Day",
        },
        "weight": {f"Weight ({mass})"},
        "bags": {"Weight at the start (kg)" if mass == "g" else "Weight at the start (lb)"},
        "changes": {f"Change of base weight ({mass})"},
    }
    for name in PICTURES:
        figure = getattr(page, name)().figure
        spec = figure.spec(layout, validate=True)
        text = json.dumps(spec, ensure_ascii=False)
        for title in expected[name]:
            assert f'"{title}"' in text or f'"text": "{title}"' in text, (name, title)
        kinds = {
            m["mark"] if isinstance(m["mark"], str) else m["mark"]["type"] for m in marks(spec)
        }
        assert kinds <= {"bar", "text", "rule", "line", "point", "rect"}, name
        assert figure.alt
        assert figure.svg(layout).startswith("<svg")


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda each: each.name)
def test_pictures_keep_within_their_width(
    logbook: Logbook, debrief_page: Pages, layout: Layout
) -> None:
    page = debrief_page(logbook("lakes"), "2026-05-river")
    for name in PICTURES:
        svg = getattr(page, name)().figure.svg(layout)
        width = float(svg.split('width="', 1)[1].split('"', 1)[0])
        assert width <= layout.px + 1, name


def test_bars_carry_names_and_values_and_share_one_scale() -> None:
    groups = [
        Group("Base", (Bar("Tent", 900.0, "900 g"), Bar("Pot", None, "not weighed")), "0.9 kg"),
        Group("Empty", ()),
        Group("Worn", (Bar("Hat", 60.0, "60 g"),), "60 g"),
    ]
    figure = Figure("x", "Bars.", bar_chart(groups, "Weight (g)"))
    spec = figure.spec(WIDE, validate=True)
    (rows,) = spec["datasets"].values()
    assert [row["label"] for row in rows] == ["Base", "Tent", "Pot", "Worn", "Hat"]
    assert [row["to"] for row in rows] == [None, 900.0, None, None, 60.0]
    assert spec["layer"][0]["encoding"]["x"]["scale"]["domain"] == [0.0, 900.0]
    for shown in ("900 g", "not weighed", "60 g", "0.9 kg"):
        assert f">{shown}</text>" in figure.svg(NARROW)


def test_what_is_beyond_the_longest_is_one_grey_bar() -> None:
    bars = [Bar(str(n), float(n), "") for n in range(20, 0, -1)]
    kept = longest(bars, 5, "16 lighter things", "136 g")
    assert [bar.label for bar in kept] == ["20", "19", "18", "17", "16 lighter things"]
    assert kept[-1].length == sum(range(1, 17))
    assert kept[-1].colour == CONTEXT
    assert longest(bars, 20, "", "") == tuple(bars)


def change(name: str, grams: float, cause: str = "added") -> dict[str, Any]:
    before, after = (0, 1) if grams > 0 else (1, 0)
    return {
        "name": name,
        "cause": cause,
        "delta_g": grams,
        "pieces_before": before,
        "pieces_after": after,
    }


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "1 oz = 28.349523125 g",
)
@pytest.mark.parametrize("mass", ["g", "oz"])
def test_steps_hang_from_each_other_and_end_at_the_sum(mass: Any) -> None:
    steps = [-1190.0, 548.4, 240.4, *(10.3 for _ in range(20)), -68.2]
    rows = [change(f"Thing {n}", step) for n, step in enumerate(steps)]
    build = changes_chart(rows, Display(mass))
    (data,) = Figure("x", "Steps.", build).spec(WIDE)["datasets"].values()
    for above, below in itertools.pairwise(data[:-1]):
        assert below["from"] == pytest.approx(above["to"])
    assert data[-1]["from"] == 0
    assert data[-1]["to"] == pytest.approx(data[-2]["to"])
    scale = 1 if mass == "g" else 28.349523125
    assert data[-1]["to"] == pytest.approx(sum(steps) / scale)
    shown = [row["shown"].split("\u202f")[0].replace("−", "-") for row in data]
    assert sum(map(float, shown[:-1])) == pytest.approx(float(shown[-1]))
    assert data[-2]["label"] == "13 smaller changes"


def night(n: int, **more: Any) -> TripNight:
    return TripNight(**{"night": MAY + timedelta(days=n), "low_c": 3.0} | more)


def trip_spec(layout: Layout = WIDE, last: int = 0, **parts: Any) -> dict[str, Any]:
    """The picture of a trip from 1 May to as many days later, else as many as it has nights."""
    end = MAY + timedelta(days=last or len(parts.get("nights", ())))
    build = lambda at: trip_chart(TripLine(MAY, end, **parts), Display(), at)  # noqa: E731
    return Figure("x", "A trip.", build).spec(layout, validate=True)


def night_spec(nights: Any, trace: Any = (), layout: Layout = WIDE) -> dict[str, Any]:
    return trip_spec(layout, nights=nights, trace=trace)


def titles(spec: dict[str, Any]) -> list[str]:
    return [panel["title"]["text"] for panel in spec["vconcat"]]


def test_panels_show_only_what_is_known() -> None:
    assert titles(night_spec([night(0), night(1)])) == ["Temperature (°C)"]
    slept = night_spec(
        [
            night(0, low_c=None, sleep_score=4),
            night(1, low_c=None, sleep_score=3, warmth=-2),
        ]
    )
    assert titles(slept) == [
        "Slept (1 to 5, 5 best)",
        "Felt (−3 cold to +3 hot)",
    ]


def test_a_low_under_the_limit_and_a_bad_night_stand_out() -> None:
    spec = night_spec(
        [
            night(0, limit_c=4.0, limit_basis="own", sleep_score=2, warmth=-2),
            night(1, limit_c=2.0, limit_basis="own", sleep_score=3, warmth=-1),
            night(2, limit_c=3.0, limit_basis="rated", sleep_score=None, warmth=None),
        ]
    )
    coloured = [rows for rows in spec["datasets"].values() if "colour" in rows[0]]
    lows, slept, felt = ([row["colour"] == ACCENT for row in rows] for rows in coloured)
    assert (lows, slept, felt) == ([True, False, False], [True, False], [True, False])


def test_no_limit_line_crosses_out_the_figure_of_a_low() -> None:
    lows = [4.0, 5.0, 5.5, 6.0, 20.0]
    kinds = {"limit_c": 3.5, "limit_basis": "own"}
    spec = night_spec([night(n, low_c=low, **kinds) for n, low in enumerate(lows)])
    (rows,) = (rows for rows in spec["datasets"].values() if "at" in rows[0])
    panel = next(panel for panel in spec["vconcat"] if panel["title"]["text"] == "Temperature (°C)")
    views = [view for view in marks(panel) if "text" in view.get("encoding", {})]
    view = next(view for view in views if view["encoding"]["y"]["field"] == "at")
    low, high = view["encoding"]["y"]["scale"]["domain"]
    px = panel["height"] / (high - low)
    for row in rows:
        assert row["at"] < row["t"]
        assert abs(row["at"] - 3.5) * px >= 9.9, "half a line of text and more"
    assert {round((row["t"] - row["at"]) * px) for row in rows} != {13}


def test_lows_side_by_side_that_would_touch_are_told_of_the_coldest_alone() -> None:
    nights = [night(n, low_c=-10.5 + n) for n in range(7)]
    for layout, told in ((LAYOUTS[0], 7), (LAYOUTS[1], 1)):
        spec = night_spec(nights, layout=layout)
        (rows,) = (rows for rows in spec["datasets"].values() if "at" in rows[0])
        assert sum(bool(row["shown"]) for row in rows) == told


def test_the_limit_is_one_line_as_long_as_it_stays_the_same() -> None:
    rated = (4.0, 4.0, None, 4.0, -2.0)
    spec = night_spec([night(n, limit_c=low, limit_basis="rated") for n, low in enumerate(rated)])
    (lines,) = (rows for rows in spec["datasets"].values() if "limit" in rows[0] and len(rows) > 1)
    assert [(row["h"], row["until"], row["t"]) for row in lines] == [
        (12, 60, 4.0),
        (84, 108, 4.0),
        (108, 132, -2.0),
    ]


def test_a_gap_of_hours_breaks_the_line_and_far_readings_are_left_out() -> None:
    hours = (5, 9, 13, 15, 17, 25, 26, 41, 47)
    trace = [
        {"read_at": datetime(2026, 5, 1) + timedelta(hours=h), "temperature_c": 5.0, "spot": "camp"}
        for h in hours
    ]
    spec = night_spec([night(0)], trace)
    (points,) = (rows for rows in spec["datasets"].values() if "piece" in rows[0])
    # From 6 h on the first day to 22 h on the second; 5 h and 47 h are beyond it.
    assert [(row["h"], row["piece"]) for row in points] == [
        (9.0, 0),
        (13.0, 0),
        (15.0, 0),
        (17.0, 0),
        (25.0, 1),
        (26.0, 1),
        (41.0, 2),
    ]


def test_of_many_nights_the_lows_alone_are_drawn() -> None:
    trace = [{"read_at": datetime(2026, 5, 1, 22), "temperature_c": 5.0, "spot": "camp"}]
    for count, layout, drawn in ((14, NARROW, True), (15, NARROW, False), (28, WIDE, True)):
        spec = night_spec([night(n) for n in range(count)], trace, layout)
        assert any("piece" in rows[0] for rows in spec["datasets"].values()) == drawn


def moved(day: int, mode: str | None = "bike", **more: Any) -> dict[str, Any]:
    row = {"mode": mode, "distance_km": 10.0, "ascent_m": None, "hours": None, "battery_wh": None}
    return {"day": MAY + timedelta(days=day)} | row | more


def test_modes_take_colours_only_where_there_are_several() -> None:
    def legends(*rows: dict[str, Any]) -> int:
        spec = trip_spec(moves=rows, last=1)
        return json.dumps(spec).count('"field": "mode", "legend": {')

    assert legends(moved(0), moved(1)) == 0
    assert legends(moved(0), moved(1, "foot"), moved(1, None)) == 1
    assert legends(moved(0, ascent_m=5.0), moved(1, "foot", ascent_m=9.0)) == 1


def test_days_alone_are_bars_one_on_the_other_between_the_nights() -> None:
    spec = trip_spec(moves=[moved(0), moved(1), moved(1, "foot", distance_km=2.5)], last=1)
    assert titles(spec) == ["Distance (km)"]
    (bars,) = (rows for rows in spec["datasets"].values() if "base" in rows[0])
    # Foot comes first of a day, whatever the order; 2.5 km of it under 10 km by bike.
    assert [(b["from"], b["until"], b["base"], b["v"], b["mode"]) for b in bars] == [
        (9, 19, 0.0, 10.0, "By bike"),
        (33, 43, 0.0, 2.5, "On foot"),
        (33, 43, 2.5, 12.5, "By bike"),
    ]


def test_no_picture_of_single_dots() -> None:
    next_day = MAY + timedelta(days=1)
    single = {"low_c": 3.0, "sleep_score": 4, "warmth": 0}
    note = Event("note", "fun", (MAY,), "Swam", score=5)
    assert TripLine(MAY, next_day, [night(0, **single)], (), [moved(0)], [note]).panels == ()
    assert TripLine(MAY, next_day).panels == ()
    assert TripLine(MAY, MAY, (), (), [moved(0), moved(0, "foot")]).panels == ()
    two = TripLine(MAY, next_day, [night(0, **single)], (), [moved(0), moved(1)], [note])
    assert two.panels == ("distance_km", "low_c", "sleep_score", "warmth", "events")


def test_the_own_limit_stands_beside_the_rating() -> None:
    kinds = {"limit_c": 4.5, "limit_basis": "own", "rated_limit_c": 1.0}
    spec = night_spec([night(0, **kinds), night(1, limit_c=1.0, limit_basis="rated")])
    lines = {
        rows[0]["whose"]: [(row["h"], row["until"], row["limit"]) for row in rows]
        for rows in (spec["datasets"][m["data"]["name"]] for m in marks(spec)
                     if isinstance(m["mark"], dict) and "strokeDash" in m["mark"])
    }  # fmt: skip
    assert lines == {"own": [(12, 36, 4.5)], "rated": [(12, 60, 1.0)]}
    shapes = [
        (m["mark"]["shape"], m["mark"]["filled"])
        for m in marks(spec)
        if isinstance(m["mark"], dict) and "shape" in m["mark"]
    ]
    assert shapes == [("diamond", True), ("circle", False)]
    names = {rows[0]["name"] for rows in spec["datasets"].values() if "whose" in rows[0]}
    assert {"your own limit", "maker’s rating"} <= names
    dashes = {str(m["mark"]["strokeDash"]) for m in marks(spec) if "strokeDash" in m["mark"]}
    assert len(dashes) == 2


def test_a_limit_says_how_sure_it_is_or_that_nobody_knows() -> None:
    own = {"limit_c": 4.5, "limit_basis": "own", "rated_limit_c": 1.0}
    sure = {**own, "limit_from_c": 2.0, "limit_to_c": 7.5}
    for kinds, told, bars in (
        (sure, "your own limit 4.5° (very likely 2.0° to 7.5°)", 1),
        (own, "your own limit 4.5° (range not known)", 0),
    ):
        spec = night_spec([night(n, low_c=12.0, **kinds) for n in range(5)])
        rows = [row for data in spec["datasets"].values() for row in data if "whose" in row]
        assert {row["range"] for row in rows if row["whose"] == "rated"} == {"not known"}
        assert {row["shown"] for row in rows} == {told, "maker’s rating, as a limit 1°"}
        assert {row["name"] for row in rows if "x" in row} == {row["shown"] for row in rows}
        ends = [
            m
            for m in marks(spec)
            if m.get("encoding", {}).get("y2", {}).get("field") == "high"
            and m["encoding"]["y"]["field"] == "low"
        ]
        assert len(ends) == bars
    # Both ends of its range are in the picture.
    (domain,) = {
        tuple(m["encoding"]["y"]["scale"]["domain"])
        for m in marks(night_spec([night(n, low_c=12.0, **sure) for n in range(5)]))
        if "scale" in m["encoding"].get("y", {})
    }
    assert domain[0] < 1.0
    assert domain[1] > 12.0


def test_what_was_noted_is_a_numbered_mark_at_its_day_or_night() -> None:
    second = MAY + timedelta(days=1)
    events = [
        Event("failure", "failure", (MAY,), "Snapped", "Pole", severity="impaired"),
        Event("note", "used", (MAY, second), "Washing line", "Cord"),
        Event("note", "sleep", (MAY,), "Owls", score=4, by_night=True),
        *(Event("note", "fun", (second,), f"{n}", score=3) for n in range(5)),
    ]
    spec = trip_spec(moves=[moved(0), moved(1)], events=events, last=1)
    (rows,) = (rows for rows in spec["datasets"].values() if "numbers" in rows[0])
    assert [(row["h"], row["row"], row["kind"], row["numbers"]) for row in rows] == [
        (14, 1, "Failure", "1"),
        (14, 2, "Note", "2"),
        (26, 1, "Note", "3"),
        (38, 1, "Note", "2"),
        (38, 2, "Note", "4"),
        (38, 3, "Note", "5"),
        (38, 4, "Note", "6\N{EN DASH}8"),
    ]
    assert titles(spec)[-1] == "Failures (crosses) and notes (dots)"


def test_days_are_named_as_far_as_there_is_room() -> None:
    days = [date(2026, 5, 28) + timedelta(days=n) for n in range(40)]
    assert day_names(days[:3], NARROW) == {0: "Thu 28", 1: "Fri 29", 2: "Sat 30"}
    assert day_names(days[:8], NARROW) == {
        0: "28 May",
        1: "29",
        2: "30",
        3: "31",
        4: "1 Jun",
        5: "2",
        6: "3",
        7: "4",
    }
    assert len(day_names(days, NARROW)) == 8
    assert label_expression({32.0: "1 Jun"}) == "datum.value == 32 ? '1 Jun' : ''"


def test_a_figure_near_the_end_of_a_narrow_axis_is_not_cut_off() -> None:
    bars = (Bar("Food", 3187.0, "3187 g"), Bar("Water", 500.0, "500 g"))
    figure = Figure("x", "alt", bar_chart([Group("", bars)], "Weight (g)"))
    (anchor,) = re.findall(r'<text text-anchor="(\w+)"[^>]*>3000</text>', figure.svg(NARROW))
    assert anchor == "end"


def test_the_name_of_a_limit_keeps_clear_of_lines_between_readings_hours_apart() -> None:
    points = [
        {"h": 20.0, "t": 10.0, "spot": "Camp", "piece": 0},
        {"h": 20.0, "t": 12.0, "spot": "Shelter", "piece": 0},
        {"h": 25.0, "t": 0.0, "spot": "Camp", "piece": 0},
        {"h": 40.0, "t": 5.0, "spot": "Camp", "piece": 1},
    ]
    places = _along(points, 1.0)
    assert {(20.0, 10.0), (20.0, 12.0), (25.0, 0.0), (40.0, 5.0)} <= set(places)
    between = sorted(set(places) - {(row["h"], row["t"]) for row in points})
    assert all(20.0 < h < 25.0 for h, _ in between), "nothing across a gap"
    assert all(t == pytest.approx(10.0 - 2.0 * (h - 20.0)) for h, t in between)
    hours = [20.0, *(h for h, _ in between), 25.0]
    assert max(b - a for a, b in itertools.pairwise(hours)) <= 1.0
