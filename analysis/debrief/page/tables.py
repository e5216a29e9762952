"""The tables of a debrief. All but short ones stand in the fold of their section, or are one."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from ...cold.words import RATED_AS
from ...display import tables, words
from ...display.rounding import apportioned
from ...display.tables import Column, Table
from ...display.words import Display, Scale, small_mass
from ...store.rows import Record
from ...store.scope import way_label
from ...wear.words import SEVERITY_WORDS, times
from ..facts import Debrief
from ..nights import TripNight
from .night_words import WARMTH
from .words import change_kind

_KINDS = {
    "base_g": "Base",
    "worn_g": "Worn",
    "consumable_g": "Consumables",
    "vehicle_g": "Bike or boat",
}
_SOURCES = {
    "logger": "thermometer",
    "logger_part": "thermometer, part of the night",
    "weather": "weather notes",
}
_THING = tables.text("name", "Thing")
_SYSTEM = tables.words("system", "System")
_THINGS = tables.whole("items", "Things")
_NOTE = tables.text("note", "Note")


def system_weights_table(rows: Sequence[Record], display: Display) -> Table:
    """What each system weighed, by kind; kinds of which there is nothing have no column."""
    return _whole((_SYSTEM, *_kinds(rows, display), _THINGS), rows, "system", "By system")


def bags_table(rows: Sequence[Record], display: Display) -> Table:
    """What each bag held, by kind."""
    bag = tables.text("bag", "Bag")
    return _whole((bag, *_kinds(rows, display), _THINGS), rows, "bag", "By bag")


def never_out_table(rows: Sequence[Record], notes: Sequence[Record], display: Display) -> Table:
    """What came along and was not used, group by group. notes: rows of `thing_notes`."""
    pieces = [tables.whole("pieces", "Pieces")] if any(row["pieces"] > 1 for row in rows) else []
    why = tables.text("why", "Why it stays")
    columns = (_THING, tables.text("group", "Group"), *pieces, _weight(display), why, _NOTE)
    table = _whole(columns, _noted(rows, notes), "thing", "Never taken out")
    return table.without_blank("why", "note")


def along_table(rows: Sequence[Record], notes: Sequence[Record], display: Display) -> Table:
    """Everything that came along, what was used most first, of equals the heaviest.

    notes: rows of `thing_notes`, in the line of their thing.
    """
    order = sorted(rows, key=lambda row: 1 if row["times"] is None else -row["times"])
    # A plain yes counts as once.
    used = Column("times", "Used", write=lambda n: ("no", "yes")[n] if n < 2 else times(n))
    columns = (_THING, _SYSTEM, _weight(display), used, _NOTE)
    table = _folded(columns, _noted(order, notes), "thing", "Everything that came along")
    return table.without_blank("note")


def _noted(rows: Sequence[Record], notes: Sequence[Record]) -> list[Record]:
    """The rows with all that is noted of each, in its owner's words, what is repeated once."""
    by_item: dict[str, dict[str, None]] = {}
    for each in notes:
        by_item.setdefault(each["item"], {})[f"“{each['note']}”"] = None
    return [{**row, "note": " ".join(by_item.get(row["item"], ())) or None} for row in rows]


def insurance_carried_table(rows: Sequence[Record], of: Debrief, display: Display) -> Table:
    """The insurance: what it weighs, whether it was needed, when it was last looked over."""
    checked = [
        {**row, "checked": words.day(on, weekday=False) if (on := row["checked_on"]) else "never"}
        for row in rows
    ]
    # Checks since the trip count, too: the page of one long ago says so.
    until = "" if of.latest else f", as of {words.day(of.today, weekday=False)}"
    used, last = tables.yes_no("used", "Needed"), tables.text("checked", f"Last check{until}")
    return _folded((_THING, _weight(display), used, last), checked, "thing", "The whole shelf")


def brought_home_table(rows: Sequence[Record], display: Display) -> Table:
    """What was taken of food and fuel, also what was bought on the way, and what was left."""
    scale = small_mass(display)
    return Table.of(
        (
            _THING,
            tables.measured("taken_g", "Taken in all", scale),
            tables.measured("brought_home_g", "Brought home", scale),
            Column("share", "Share", align="right", write=words.percent),
        ),
        rows,
        "thing",
        fold_after=len(rows),
    )


def trip_nights_table(
    nights: Sequence[TripNight], notes: Mapping[date, str], display: Display
) -> Table:
    """Night by night: the low, the rating, how it was slept. notes: by the day a night began."""
    scale = words.temperature_scale(display)
    wanted = (
        tables.measured("low_c", "Low", scale),
        Column("low_source", "Low from", write=_SOURCES.__getitem__),
        tables.measured("rated_low_c", "Rated low", scale),
        Column("rated_as", "Rated as", write=RATED_AS.__getitem__),
        tables.text("rated_name", "Sleep gear"),
        tables.measured("own_limit_c", "Your limit in it", scale),
        tables.whole("sleep_score", "Sleep score"),
        Column("warmth", "Felt", write=WARMTH.__getitem__),
        _NOTE,
    )
    rows = [
        {
            **asdict(night),
            "note": notes.get(night.night),
            "own_limit_c": night.limit_c if night.limit_basis == "own" else None,
        }
        for night in nights
    ]
    columns = (_short_day("night", "Night"), *_known(wanted, rows))
    return _whole(columns, rows, "night", "Night by night")


def moves_table(rows: Sequence[Record], display: Display) -> Table:
    """Day by day and mode by mode: how far, how high, how long."""
    columns = (
        _short_day("day", "Day"),
        Column("mode", "How", write=way_label),
        tables.measured("distance_km", "Distance", words.distance_scale(display)),
        tables.measured("ascent_m", "Climbing", words.height_scale(display)),
        tables.decimal("hours", "Moving", "h"),
        tables.decimal("battery_wh", "Battery", "Wh", 0),
    )
    return _whole(_known(columns, rows), rows, "line", "Distance, day by day")


def day_scores_table(rows: Sequence[Record]) -> Table:
    """How the days felt: a line a day and aspect."""
    columns = (
        _short_day("day", "Day"),
        tables.words("aspect", "What"),
        tables.whole("score", "Of 5"),
        *([_NOTE] if any(row["note"] for row in rows) else []),
    )
    return _whole(columns, rows, "score", "Scores, day by day")


def trip_failures_table(rows: Sequence[Record]) -> Table:
    """What failed, worst first, and how it was fixed."""
    columns = (
        _THING,
        _short_day("day", "Day"),
        Column("severity", "How bad", write=SEVERITY_WORDS.__getitem__),
        tables.text("what", "What happened"),
        tables.text("fixed_with", "Fixed with"),
        tables.dates("fixed_on", "Fixed on"),
        *([_NOTE] if any(row.get("note") for row in rows) else []),
    )
    return _folded(columns, rows, "failure", "All failures")


def changes_table(rows: Sequence[Record], display: Display) -> Table:
    """Item by item what changed; the last column sums to the difference."""
    scale = small_mass(display)
    steps = apportioned([scale.value(row["delta_g"]) or 0.0 for row in rows], scale.decimals)
    changes = [
        {**row, "how": change_kind(row), "step": step}
        for row, step in zip(rows, steps, strict=True)
    ]
    columns = (
        _THING,
        tables.text("how", "How"),
        tables.measured("before_g", "Before", scale),
        tables.measured("after_g", "Now", scale),
        tables.measured("step", "Change", Scale(scale.unit, decimals=scale.decimals), signed=True),
    )
    return _whole(columns, changes, "change", "Change by change")


def _folded(columns: Sequence[Column], rows: Sequence[Any], noun: str, caption: str) -> Table:
    return Table.of(columns, rows, noun, caption=caption, fold_after=0)


def _whole(columns: Sequence[Column], rows: Sequence[Any], noun: str, caption: str) -> Table:
    """A table that stands in the fold of its section already."""
    return Table.of(columns, rows, noun, caption=caption, fold_after=len(rows))


def _known(columns: Sequence[Column], rows: Sequence[Record]) -> list[Column]:
    """The columns of which anything is known."""
    return [c for c in columns if any(row[c.key] is not None for row in rows)]


def _kinds(rows: Sequence[Record], display: Display) -> list[Column]:
    """A column a kind; nothing at all is an empty cell: a column of zeros hides what is there."""
    scale = small_mass(display)
    return [
        Column(key, title, scale.unit, "right", lambda g: scale.number(g) if g else "")
        for key, title in _KINDS.items()
        if any(row[key] is None or row[key] for row in rows)
    ]


def _weight(display: Display) -> Column:
    return tables.measured("weight_g", "Weight", small_mass(display))


def _short_day(key: str, title: str) -> Column:
    return Column(key, title, write=lambda day: words.day(day, year=False))
