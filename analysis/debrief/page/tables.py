"""The tables of a debrief. Those under a picture that says the same are folded."""

from collections.abc import Mapping, Sequence
from typing import Any

from ...cold.words import RATED_AS
from ...display import tables, words
from ...display.rounding import apportioned
from ...display.tables import Column, Table
from ...display.words import Display, Scale, number, small_mass
from ...wear.words import SEVERITY_WORDS
from .charts import change_kind
from .words import WARMTH

Row = Mapping[str, Any]

_KINDS = (
    ("base_g", "Base"),
    ("worn_g", "Worn"),
    ("consumable_g", "Food and fuel"),
    ("vehicle_g", "Bike or boat"),
)


def by_system(rows: Sequence[Row], display: Display) -> Table:
    """What each system weighed, by kind; kinds of which there is nothing have no column."""
    scale = small_mass(display)
    return Table.of(
        (tables.words("system", "System"), *_kinds(rows, scale), tables.whole("items", "Things")),
        rows,
        "system",
        caption="By system",
        fold_after=0,
    )


def by_bag(rows: Sequence[Row], display: Display) -> Table:
    """What each bag held, by kind."""
    bag = Column("bag", "Bag", write=str)
    named = [{**row, "bag": row["bag"] or "No bag noted"} for row in rows]
    return Table.of(
        (bag, *_kinds(rows, small_mass(display)), tables.whole("items", "Things")),
        named,
        "bag",
        caption="By bag",
        fold_after=0,
    )


def _kinds(rows: Sequence[Row], scale: Scale) -> list[Column]:
    return [
        Column(key, header, scale.unit, "right", _amount(scale))
        for key, header in _KINDS
        if any(row[key] is None or row[key] for row in rows)
    ]


def _amount(scale: Scale) -> Any:
    """Nothing at all is an empty cell: a column of zeros hides what is there."""
    return lambda grams: scale.number(grams) if grams else ""


def never_out(rows: Sequence[Row], display: Display) -> Table:
    """What came along and was not used, heaviest first."""
    columns = [tables.text("name", "Thing"), tables.words("system", "System")]
    columns += [tables.whole("pieces", "Pieces")] if any(row["pieces"] > 1 for row in rows) else []
    return Table.of(
        (*columns, tables.measured("weight_g", "Weight", small_mass(display))),
        rows,
        "thing",
        caption="Never taken out",
        fold_after=0,
    )


def along(rows: Sequence[Row], display: Display) -> Table:
    """Everything that came along, what was used most first, of equals the heaviest."""
    order = sorted(rows, key=lambda row: 1 if row["times"] is None else -row["times"])
    return Table.of(
        (
            tables.text("name", "Thing"),
            tables.words("system", "System"),
            tables.measured("weight_g", "Weight", small_mass(display)),
            # A plain yes counts as once.
            Column("times", "Used", write=lambda n: ("no", "yes")[n] if n < 2 else f"{n} times"),
        ),
        order,
        "thing",
        caption="Everything that came along",
        fold_after=0,
    )


def insurance(rows: Sequence[Row], display: Display) -> Table:
    """The insurance: what it weighs, whether it was needed, when it was last looked over."""
    told = [
        {**row, "checked": words.day(row["checked_on"], weekday=False)}
        if row["checked_on"]
        else {**row, "checked": "never"}
        for row in rows
    ]
    return Table.of(
        (
            tables.text("name", "Thing"),
            tables.measured("weight_g", "Weight", small_mass(display)),
            tables.yes_no("used", "Needed"),
            tables.text("checked", "Last check"),
        ),
        told,
        "thing",
        caption="The whole shelf",
        fold_after=0,
    )


def brought_home(rows: Sequence[Row], display: Display) -> Table:
    """What there was of food and fuel at the start, and what was left."""
    scale = small_mass(display)
    return Table.of(
        (
            tables.text("name", "Thing"),
            tables.measured("start_g", "At the start", scale),
            tables.measured("brought_home_g", "Brought home", scale),
            Column("share", "Share", align="right", write=words.percent),
        ),
        rows,
        "thing",
        caption="Food and fuel" if len(rows) > 6 else "",
        fold_after=6,
    )


def nights(rows: Sequence[Row], notes: Mapping[Any, str], display: Display) -> Table:
    """Night by night: the low, the rating, how it was slept. notes: by the day a night began."""
    scale = words.temperature_scale(display)
    columns = [Column("night", "Night", write=lambda day: words.day(day, year=False))]
    wanted = (
        tables.measured("low_c", "Low", scale),
        Column("low_source", "Low from", write=_source),
        tables.measured("rated_low_c", "Rated low", scale),
        Column("rated_as", "Rated as", write=lambda kind: RATED_AS[kind]),
        tables.text("rated_name", "Sleep gear"),
        tables.measured("own_limit_c", "Your limit in it", scale),
        tables.whole("sleep_score", "Slept, of 5"),
        Column("warmth", "Felt", write=lambda warmth: WARMTH[warmth]),
        tables.text("note", "Note"),
    )
    told = [
        {
            **row,
            "note": notes.get(row["night"]),
            "own_limit_c": row["limit_c"] if row["limit_basis"] == "own" else None,
        }
        for row in rows
    ]
    columns += [c for c in wanted if any(row[c.key] is not None for row in told)]
    return Table.of(columns, told, "night", caption="Night by night", fold_after=0)


def _source(source: str) -> str:
    return {
        "logger": "thermometer",
        "logger_part": "thermometer, part of the night",
        "weather": "weather notes",
    }[source]


def moves(rows: Sequence[Row], display: Display) -> Table:
    """Day by day and mode by mode: how far, how high, how long."""
    columns = (
        Column("day", "Day", write=lambda day: words.day(day, year=False)),
        tables.words("mode", "Mode"),
        tables.measured("distance_km", "Distance", words.distance_scale(display)),
        tables.measured("ascent_m", "Climbing", words.height_scale(display)),
        tables.decimal("hours", "Moving", "h"),
        tables.decimal("battery_wh", "Battery", "Wh", 0),
    )
    kept = [c for c in columns if any(row[c.key] is not None for row in rows)]
    return Table.of(kept, rows, "line", caption="Day by day", fold_after=0)


def comfort(rows: Sequence[Row]) -> Table:
    """How the days felt: a line a day and aspect."""
    columns = [
        Column("day", "Day", write=lambda day: words.day(day, year=False)),
        tables.words("aspect", "What"),
        tables.whole("score", "Of 5"),
    ]
    columns += [tables.text("note", "Note")] if any(row["note"] for row in rows) else []
    return Table.of(columns, rows, "score", caption="Day by day", fold_after=0)


def failures(rows: Sequence[Row]) -> Table:
    """What failed, worst first, and how it was fixed."""
    return Table.of(
        (
            tables.text("name", "Thing"),
            Column("day", "Day", write=lambda day: words.day(day, year=False)),
            Column("severity", "How bad", write=lambda word: SEVERITY_WORDS[word]),
            tables.text("what", "What happened"),
            tables.text("fixed_with", "Fixed with"),
            tables.dates("fixed_on", "Fixed on"),
        ),
        rows,
        "failure",
        caption="All failures",
        fold_after=0,
    )


def changes(rows: Sequence[Row], display: Display) -> Table:
    """Item by item what changed; the last column sums to the difference."""
    scale = small_mass(display)
    steps = apportioned([scale.value(row["delta_g"]) or 0.0 for row in rows], scale.decimals)
    told = [
        {**row, "how": change_kind(row), "step": step}
        for row, step in zip(rows, steps, strict=True)
    ]
    return Table.of(
        (
            tables.text("name", "Thing"),
            tables.text("how", "How"),
            tables.measured("before_g", "Before", scale),
            tables.measured("after_g", "Now", scale),
            Column(
                "step",
                "Change",
                scale.unit,
                "right",
                lambda step: number(step, scale.decimals, signed=True),
            ),
        ),
        told,
        "change",
        caption="Change by change",
        fold_after=0,
    )
