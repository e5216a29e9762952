"""The panel of a trip's temperatures: readings, the nights' lows, the limit in the sleep gear."""

from collections.abc import Sequence
from datetime import datetime, time
from typing import Any

import altair as alt

from ...climate.normals import TWO_IN_THREE_SD
from ...display import words
from ...display.charts import tips
from ...display.figure import chart_of
from ...display.theme import ACCENT, INK, MAIN, OKABE_ITO, SERIES
from ...display.words import Display, label, temperature_scale
from ...store.rows import Record
from ..nights import TripNight
from .limit_lines import HALO, limit_lines, short_degrees
from .trip_frame import NIGHT_FROM_H, NIGHT_TO_H, TripFrame

_GAP_H = 6
_LABEL_PX, _CLEAR_PX, _BOLD_PX = 13.0, 10.0, 6.8


def temperature_panel(
    nights: Sequence[TripNight], trace: Sequence[Record], display: Display, frame: TripFrame
) -> Any:
    """Return the panel; at least one low must be known.

    trace: rows of `temperature_trace`. A low under the limit stands out.
    """
    scale = temperature_scale(display)
    points = [] if frame.crowded else _points(trace, scale, frame)
    lows = _low_rows(nights, scale, frame)
    limits = [
        scale.value(limit)
        for night in nights
        for limit in (night.limit_c, night.rated_limit_c, night.limit_from_c, night.limit_to_c)
        if limit is not None
    ]
    usual = _usual_rows(nights, scale)
    shown = [*(row["t"] for row in (*points, *lows)), *limits]
    shown += [row[end] for row in usual for end in ("low", "high")]
    room = max(max(shown) - min(shown), 4) * 0.16
    height = 180 if frame.layout.narrow else 200
    spots = sorted({row["spot"] for row in points})
    head = frame.legend_px(spots) / height * (max(shown) - min(shown) + room * 2.4)
    domain = (min(shown) - room * 1.4, max(shown) + room + head)
    y = frame.y("t:Q", domain, tickCount=5)
    unit_per_px = (domain[1] - domain[0]) / height
    taken = _along(points, frame.hours(4))
    for row in lows:
        row["at"] = row["t"] - _label_px(row["t"], row.pop("limits"), unit_per_px) * unit_per_px
        taken += [(float(h), row["t"]) for h in range(row["from"], row["until"] + 1)]
        if row["shown"]:
            beside = frame.hours(20)
            taken += [(row["h"] + by, row["at"]) for by in (-beside, 0, beside)]
    layers = [
        *_usual(usual, domain, frame),
        *(_readings(points, frame, y) if points else ()),
        *limit_lines(nights, scale, frame, domain, taken, unit_per_px),
        *_lows(lows, domain, frame),
    ]
    return frame.panel(f"Temperature ({scale.unit})", height, *layers)


def _usual_rows(nights: Sequence[TripNight], scale: words.Scale) -> list[dict[str, Any]]:
    """Where two in three lows of such nights lie; only of nights whose spread is known."""
    return [
        {
            **_hours(place),
            "low": scale.value(night.normal_low_c - TWO_IN_THREE_SD * night.normal_low_sd_c),
            "high": scale.value(night.normal_low_c + TWO_IN_THREE_SD * night.normal_low_sd_c),
            "said": scale.text(night.normal_low_c),
            "night": words.day(night.night, year=False),
        }
        for place, night in enumerate(nights)
        if night.normal_low_c is not None and night.normal_low_sd_c is not None
    ]


def _hours(place: int) -> dict[str, int]:
    """When the shaded hours of a night begin and end, nights counted from 0."""
    return {"from": 24 * place + NIGHT_FROM_H, "until": 24 * place + NIGHT_TO_H}


def _usual(
    rows: Sequence[Record], domain: tuple[float, float], frame: TripFrame
) -> list[alt.Chart]:
    """The band of what is usual in the hours of each night."""
    if not rows:
        return []
    about = tips(night="Night of", said="Usual low")
    band = chart_of(rows).mark_rect(color=OKABE_ITO["sky"], opacity=0.3)
    y = frame.y("low:Q", domain, tickCount=5)
    return [
        band.encode(x=frame.x("from:Q"), x2=alt.X2("until"), y=y, y2=alt.Y2("high"), tooltip=about)
    ]


def _readings(points: Sequence[Record], frame: TripFrame, y: alt.Y) -> tuple[Any, Any]:
    """A line through the readings; the readings themselves, to be seen where they are few."""
    spots = sorted({point["spot"] for point in points})
    colour = (
        alt.Color(
            "spot:N",
            scale=alt.Scale(domain=spots, range=list(SERIES)),
            legend=frame.legend(spots),
        )
        if len(spots) > 1
        else alt.value(MAIN)
    )
    base = chart_of(points).encode(x=frame.x(), y=y, color=colour)
    about = tips(when="When", shown="Temperature", spot="Spot")
    few = len(points) * 14 <= frame.width
    thin = 1.2 if len(points) > frame.width else 2
    return (
        base.mark_line(clip=True, strokeWidth=thin).encode(
            detail=[alt.Detail("piece:N"), alt.Detail("spot:N")]
        ),
        base.mark_point(size=22 if few else 60, opacity=1 if few else 0, clip=True).encode(
            tooltip=about
        ),
    )


def _points(trace: Sequence[Record], scale: words.Scale, frame: TripFrame) -> list[dict[str, Any]]:
    """Readings within the time line; a gap of hours breaks the line."""
    points: list[dict[str, Any]] = []
    last: dict[str, tuple[float, int]] = {}
    midnight = datetime.combine(frame.start, time())
    for row in trace:
        at = (row["read_at"] - midnight).total_seconds() / 3600
        if not frame.domain[0] <= at <= frame.domain[1]:
            continue
        before, piece = last.get(row["spot"], (at, 0))
        piece += at - before > _GAP_H
        last[row["spot"]] = (at, piece)
        points.append(
            {
                "h": round(at, 3),
                "t": scale.value(row["temperature_c"]),
                "piece": piece,
                "spot": label(row["spot"]),
                "shown": scale.text(row["temperature_c"]),
                "when": f"{words.day(row['read_at'], year=False)}, {row['read_at']:%H:%M}",
            }
        )
    return points


def _along(points: Sequence[Record], every: float) -> list[tuple[float, float]]:
    """The readings and the lines between them, as places that a text must not cover."""
    places = [(row["h"], row["t"]) for row in points]
    last: dict[tuple[str, int], Record] = {}
    for row in points:
        before = last.get((row["spot"], row["piece"]))
        if before is not None:
            steps = int((row["h"] - before["h"]) / every)
            places += [
                (
                    before["h"] + (row["h"] - before["h"]) * n / (steps + 1),
                    before["t"] + (row["t"] - before["t"]) * n / (steps + 1),
                )
                for n in range(1, steps + 1)
            ]
        last[row["spot"], row["piece"]] = row
    return places


def _low_rows(
    nights: Sequence[TripNight], scale: words.Scale, frame: TripFrame
) -> list[dict[str, Any]]:
    known = [night.low_c for night in nights if night.low_c is not None]
    widest = max((len(short_degrees(low, scale)) for low in known), default=0) * _BOLD_PX + 4
    many = frame.nights > 10 or widest > frame.width / (frame.nights + 1)
    rows = []
    for night in nights:
        if night.low_c is None:
            continue
        place = (night.night - frame.start).days
        rows.append(
            {
                **_hours(place),
                "h": frame.night_centre(place),
                "t": scale.value(night.low_c),
                "limits": [
                    scale.value(limit)
                    for limit in (night.limit_c, night.rated_limit_c)
                    if limit is not None
                ],
                "shown": ""
                if many and night.low_c > min(known)
                else short_degrees(night.low_c, scale),
                "colour": ACCENT if (night.margin_c or 0) < 0 else INK,
                "night": words.day(night.night, year=False),
                "said": scale.text(night.low_c),
            }
        )
    return rows


def _lows(rows: Sequence[Record], domain: tuple[float, float], frame: TripFrame) -> list[alt.Chart]:
    base = chart_of(rows).encode(y=frame.y("t:Q", domain, tickCount=5))
    about = tips(night="Night of", said="Low")
    colour = alt.Color("colour:N", scale=None)
    text = base.encode(
        x=frame.x(), text=alt.Text("shown:N"), y=frame.y("at:Q", domain, tickCount=5)
    )
    return [
        text.mark_text(fontWeight="bold", **HALO),
        base.mark_rule(strokeWidth=3).encode(
            x=frame.x("from:Q"), x2=alt.X2("until"), color=colour, tooltip=about
        ),
        text.mark_text(fontWeight="bold").encode(color=colour),
    ]


def _label_px(low: float, limits: Sequence[float], unit_per_px: float) -> float:
    """How far below its mark a low is written: clear of a limit's line that would cross it out."""
    below = _LABEL_PX
    for limit in sorted(limits, reverse=True):
        line = (low - limit) / unit_per_px
        if abs(line - below) < _CLEAR_PX:
            below = line + _CLEAR_PX
    return below
