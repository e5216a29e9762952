"""The limits in the sleep gear, in the picture of a trip: the own one, and that of its rating."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from ...cold.ratings import RATING_KINDS
from ...cold.words import RATED_AS
from ...display import words
from ...display.charts import tips
from ...display.figure import chart_of
from ...display.theme import INK, PAPER, SOFT_INK
from ...store.rows import Record
from ..nights import TripNight
from .trip_frame import TripFrame

# A text drawn twice, first broad and white, so that a line behind it does not cross it out.
HALO: Mapping[str, Any] = {"stroke": PAPER, "strokeWidth": 4, "strokeJoin": "round"}
OWN, RANGE_UNKNOWN = "your own limit", "not known"
_LETTER_PX = 6.6
_LINES: Mapping[str, Mapping[str, Any]] = {
    "own": {"strokeDash": [7, 4], "strokeWidth": 1.5, "color": INK},
    "rated": {"strokeDash": [2, 3], "color": SOFT_INK},
}
_MARKS: Mapping[str, Mapping[str, Any]] = {
    "own": {"shape": "diamond", "filled": True, "size": 90, "color": INK},
    "rated": {"shape": "circle", "filled": False, "size": 60, "color": SOFT_INK},
}
"""What a line begins with: a full diamond is your own limit, a ring a rating."""


def limit_lines(
    nights: Sequence[TripNight],
    scale: words.Scale,
    frame: TripFrame,
    domain: tuple[float, float],
    taken: Sequence[tuple[float, float]],
    unit_per_px: float,
) -> list[alt.Chart]:
    """Each limit a line that begins with its mark, the own one with a bar as far as it is known.

    The name of one stands at that end, above or below, where what is taken leaves most room; the
    short name where there is none for the long one, and none where there is none for that.
    """
    y = frame.y("t:Q", domain, tickCount=5)
    drawn: list[alt.Chart] = []
    texts: list[alt.Chart] = []
    for whose in _LINES:
        rows = _limit_rows(whose, nights, scale)
        if not rows:
            continue
        about = tips(name="Limit", told="At", range="Very likely")
        line = chart_of(rows).encode(x=frame.x(), y=y, tooltip=about)
        drawn.append(line.encode(x2=alt.X2("until")).mark_rule(**_LINES[whose]))
        sure = [row for row in rows if row["low"] is not None]
        if sure:
            bar = chart_of(sure).encode(
                x=frame.x(), y=frame.y("low:Q", domain, tickCount=5), y2=alt.Y2("high")
            )
            drawn.append(bar.mark_rule(strokeWidth=4, opacity=0.45, color=INK))
        drawn.append(line.mark_point(opacity=1, **_MARKS[whose]))
        for row in rows:
            texts += _name(row, frame, y, taken, unit_per_px)
    return [*drawn, *texts]


def _name(
    row: Record,
    frame: TripFrame,
    y: alt.Y,
    taken: Sequence[tuple[float, float]],
    unit_per_px: float,
) -> list[alt.Chart]:
    """The name of a line, as long as there is room for."""
    for shown in (row["shown"], row["short"]):
        length = frame.hours(len(shown) * _LETTER_PX)
        # Clear of the mark that the line begins with.
        spots = [
            (h, dy) for h in (row["until"] - length, row["h"] + frame.hours(6)) for dy in (-8, 9)
        ]
        room = {
            (h, dy): _room(h, h + length, row["t"] - dy * unit_per_px, frame.hours(5), taken)
            for h, dy in spots
            if h >= row["h"] or shown == row["short"]
        }
        if not room:
            continue
        start, dy = max(room, key=room.__getitem__)
        if room[start, dy] < 9 * unit_per_px:
            continue
        # At the end of its line it ends there, however wide its letters are: clear of the rest.
        at_end = start == row["until"] - length
        text = chart_of([{**row, "x": row["until"] if at_end else start, "name": shown}]).encode(
            x=frame.x("x:Q"), y=y, text=alt.Text("name:N")
        )
        side = {"align": "right", "dx": -2} if at_end else {"align": "left", "dx": 2}
        look: dict[str, Any] = {**side, "dy": dy}
        return [text.mark_text(**look, **HALO), text.mark_text(**look, fill=SOFT_INK)]
    return []


def _limit_rows(
    whose: str, nights: Sequence[TripNight], scale: words.Scale
) -> list[dict[str, Any]]:
    """The lines of one kind of limit, each as long as it stays the same."""
    rows: list[dict[str, Any]] = []
    for place, night in enumerate(nights):
        own = night.limit_c if night.limit_basis == "own" else None
        rated = night.limit_c if night.limit_basis == "rated" else night.rated_limit_c
        limit, until = own if whose == "own" else rated, 24 * place + 36
        if limit is None:
            continue
        if rows and rows[-1]["limit"] == limit and rows[-1]["until"] == 24 * place + 12:
            rows[-1]["until"] = until
            continue
        line = {"h": 24 * place + 12, "until": until, "t": scale.value(limit), "limit": limit}
        told = (
            _told_own(night, limit, scale) if whose == "own" else _told_rated(night, limit, scale)
        )
        rows.append({**line, "whose": whose, **told})
    return rows


def _told_own(night: TripNight, limit: float, scale: words.Scale) -> dict[str, Any]:
    # To a tenth, as everywhere.
    short = f"{OWN} {scale.number(limit)}°"
    low, high = night.limit_from_c, night.limit_to_c
    known = low is not None and high is not None
    sure = f"{scale.number(low)}° to {scale.number(high)}°" if known else RANGE_UNKNOWN
    return {
        "name": OWN,
        "told": scale.text(limit),
        "range": sure,
        "low": scale.value(low) if known else None,
        "high": scale.value(high) if known else None,
        "shown": f"{short} (very likely {sure})" if known else f"{short} (range {sure})",
        "short": short,
    }


def _told_rated(night: TripNight, limit: float, scale: words.Scale) -> dict[str, Any]:
    kind = night.rated_as or "maker"
    name, at = RATED_AS[kind], short_degrees(limit, scale)
    moved = bool(RATING_KINDS[kind].shift_c)
    return {
        "name": name,
        "told": scale.text(limit),
        "range": RANGE_UNKNOWN,
        "low": None,
        "high": None,
        "shown": f"{name}, as a limit {at}" if moved else f"{name} {at}",
        "short": name,
    }


def short_degrees(celsius: float, scale: words.Scale) -> str:
    """Return "3°", or "3.5°": a figure without a decimal that says nothing."""
    return scale.number(celsius).removesuffix(".0") + "°"


def _room(
    start: float, end: float, at: float, edge: float, taken: Sequence[tuple[float, float]]
) -> float:
    """How far, in units of the axis, the nearest of what is taken is from a text."""
    near = (abs(t - at) for h, t in taken if start - edge <= h <= end + edge)
    return min(near, default=math.inf)
