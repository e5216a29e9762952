"""The nights of a trip in one picture: how cold, how slept, how warm they felt, on one time line.

Time is counted in hours from midnight of the first day, so that a drawing does not depend on the
time zone of the machine that draws it.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any

import altair as alt
from tarebook.analysis import words
from tarebook.analysis.figure import chart_of
from tarebook.analysis.theme import ACCENT, GRID, INK, MAIN, PAPER, SERIES, SOFT_INK, Layout
from tarebook.analysis.words import Display, label, temperature_scale

Row = Mapping[str, Any]

NIGHT_FROM_H, NIGHT_TO_H = 20, 32
GAP_H = 6
_LABELS_PX = 46
_PANELS = ("low_c", "sleep_score", "warmth")
_NEUTRAL = {-3: "cold", 0: "neutral", 3: "hot"}


def night_chart(
    nights: Sequence[Row], trace: Sequence[Row], start: date, display: Display, layout: Layout
) -> Any:
    """Return panels, one above the other, of what there is: temperature, sleep score, warmth.

    nights, trace: rows of those frames. Nights are shaded from 20:00 to 08:00; a low under the
    sleep gear's rating stands out.
    """
    frame = _Frame(len(nights), start, layout)
    known = [key for key in _PANELS if any(row[key] is not None for row in nights)]
    panels = []
    for key in known:
        frame.last = key == known[-1]
        if key == "low_c":
            panels.append(_temperature(nights, trace, display, frame))
        elif key == "sleep_score":
            panels.append(_scores(nights, frame))
        else:
            panels.append(_warmth(nights, frame))
    return alt.vconcat(*panels, spacing=34, bounds="flush").resolve_scale(color="independent")


class _Frame:
    """What the panels share: their width, time axis and shading."""

    def __init__(self, nights: int, start: date, layout: Layout) -> None:
        self.nights = nights
        self.start = start
        self.layout = layout
        self.last = False
        self.width = layout.px - _LABELS_PX - 14
        self.domain = (12, 24 * nights + 12)

    def centre(self, night: int) -> float:
        return 24 * night + (NIGHT_FROM_H + NIGHT_TO_H) / 2

    def x(self, field: str = "h:Q") -> alt.X:
        """The time axis; only the last panel shows it."""
        scale = alt.Scale(domain=list(self.domain), nice=False, zero=False)
        if not self.last:
            return alt.X(field, scale=scale, axis=None)
        every = 1 if self.nights <= (5 if self.layout.narrow else 9) else 2
        every = every if self.nights <= 16 else -(-self.nights // 8)
        shown = {
            self.centre(n): _day_name(self.start, n, every) for n in range(0, self.nights, every)
        }
        expression = " : ".join(f"datum.value == {at:g} ? '{said}'" for at, said in shown.items())
        axis = alt.Axis(
            values=list(shown),
            labelExpr=f"{expression} : ''",
            grid=False,
            labelOverlap=False,
            title="Night that began on",
        )
        return alt.X(field, scale=scale, axis=axis)

    def panel(self, title: str, height: int, *layers: alt.Chart) -> Any:
        rows = [
            {"h": max(24 * n + NIGHT_FROM_H, 12), "until": 24 * n + NIGHT_TO_H}
            for n in range(self.nights)
        ]
        shade = (
            chart_of(rows)
            .mark_rect(color=GRID, opacity=0.55)
            .encode(x=self.x(), x2=alt.X2("until"))
        )
        heading = alt.TitleParams(
            title, anchor="start", fontSize=self.layout.font_px, fontWeight="normal",
            color=SOFT_INK, offset=4,
        )  # fmt: skip
        return alt.layer(shade, *layers).properties(width=self.width, height=height, title=heading)

    def y(self, field: str, domain: tuple[float, float], **axis: Any) -> alt.Y:
        return alt.Y(
            field,
            title=None,
            scale=alt.Scale(domain=list(domain), nice=False, zero=False),
            axis=alt.Axis(minExtent=_LABELS_PX, maxExtent=_LABELS_PX, **axis),
        )


def _day_name(start: date, night: int, every: int) -> str:
    when = date.fromordinal(start.toordinal() + night)
    return words.day(when, year=False).rsplit(" ", 1)[0] if every == 1 else f"{when.day}"


def _hours(when: datetime, start: date) -> float:
    return (when - datetime.combine(start, time())).total_seconds() / 3600


def _temperature(
    nights: Sequence[Row], trace: Sequence[Row], display: Display, frame: _Frame
) -> Any:
    scale = temperature_scale(display)
    lows = [row for row in nights if row["low_c"] is not None]
    points = _points(trace, scale, frame)
    heard = [*(p["t"] for p in points), *(scale.value(row["low_c"]) for row in lows)]
    heard += [scale.value(row["rated_low_c"]) for row in nights if row["rated_low_c"] is not None]
    room = max(max(heard) - min(heard), 4) * 0.16
    y = frame.y("t:Q", (min(heard) - room * 1.4, max(heard) + room), tickCount=5)
    spots = sorted({point["spot"] for point in points})
    colour = (
        alt.Color("spot:N", title=None, scale=alt.Scale(domain=spots, range=list(SERIES)))
        if len(spots) > 1
        else alt.value(MAIN)
    )
    readings = chart_of(points).encode(x=frame.x(), y=y, color=colour)
    tips = [
        alt.Tooltip("when:N", title="When"),
        alt.Tooltip("shown:N", title="Temperature"),
        alt.Tooltip("spot:N", title="Spot"),
    ]
    layers = [
        readings.mark_line(clip=True).encode(detail=[alt.Detail("piece:N"), alt.Detail("spot:N")])
    ]
    few = len(points) * 14 <= frame.width
    layers.append(
        readings.mark_point(size=22 if few else 60, opacity=1 if few else 0, clip=True).encode(
            tooltip=tips
        )
    )
    layers += _ratings(nights, scale, frame, y)
    layers += _lows(lows, scale, frame, y)
    height = 190 if frame.layout.narrow else 220
    return frame.panel(f"Temperature ({scale.unit})", height, *layers)


def _points(trace: Sequence[Row], scale: words.Scale, frame: _Frame) -> list[dict[str, Any]]:
    """Readings within the time line; a gap of hours breaks the line."""
    found: list[dict[str, Any]] = []
    last: dict[str, tuple[float, int]] = {}
    for row in trace:
        at = _hours(row["read_at"], frame.start)
        if not frame.domain[0] <= at <= frame.domain[1]:
            continue
        before, piece = last.get(row["spot"], (at, 0))
        piece += at - before > GAP_H
        last[row["spot"]] = (at, piece)
        found.append({
            "h": round(at, 3), "t": scale.value(row["temperature_c"]), "piece": piece,
            "spot": label(row["spot"]), "shown": scale.text(row["temperature_c"]),
            "when": f"{words.day(row['read_at'], year=False)}, {row['read_at']:%H:%M}",
        })  # fmt: skip
    return found


def _lows(lows: Sequence[Row], scale: words.Scale, frame: _Frame, y: alt.Y) -> list[alt.Chart]:
    coldest = min(row["low_c"] for row in lows)
    crowded = frame.nights > (6 if frame.layout.narrow else 10)
    rows = []
    for row in lows:
        night = (row["night"] - frame.start).days
        under = row["rated_low_c"] is not None and row["low_c"] < row["rated_low_c"]
        named = not crowded or row["low_c"] == coldest
        rows.append({
            "from": 24 * night + NIGHT_FROM_H, "until": 24 * night + NIGHT_TO_H,
            "h": frame.centre(night), "t": scale.value(row["low_c"]),
            "shown": _short(row["low_c"], scale) if named else "",
            "colour": ACCENT if under else INK,
            "night": words.day(row["night"], year=False), "said": scale.text(row["low_c"]),
        })  # fmt: skip
    base = chart_of(rows).encode(y=y, color=alt.Color("colour:N", scale=None))
    tips = [alt.Tooltip("night:N", title="Night of"), alt.Tooltip("said:N", title="Low")]
    return [
        base.mark_rule(strokeWidth=3).encode(x=frame.x("from:Q"), x2=alt.X2("until"), tooltip=tips),
        base.mark_text(dy=13, fontWeight="bold").encode(x=frame.x(), text=alt.Text("shown:N")),
    ]


def _short(celsius: float, scale: words.Scale) -> str:
    return scale.number(celsius).removesuffix(".0") + "°"


def _ratings(nights: Sequence[Row], scale: words.Scale, frame: _Frame, y: alt.Y) -> list[alt.Chart]:
    """The rated low of the sleep gear, night by night; named where it ends or changes."""

    rows: list[dict[str, Any]] = []
    for place, row in enumerate(nights):
        rated, until = row["rated_low_c"], 24 * place + 36
        if rated is None:
            continue
        if rows and rows[-1]["rated"] == rated and rows[-1]["until"] == 24 * place + 12:
            rows[-1]["until"] = until
            continue
        rows.append({
            "h": 24 * place + 12, "until": until, "t": scale.value(rated), "rated": rated,
            "shown": f"rated low {_short(rated, scale)}",
        })  # fmt: skip
    if not rows:
        return []
    base = chart_of(rows).encode(x=frame.x(), y=y)
    return [
        base.mark_rule(strokeDash=[5, 4], color=SOFT_INK).encode(x2=alt.X2("until")),
        # Twice, first broad and white, so that a line behind it does not cross it out.
        base.mark_text(align="right", dx=-2, dy=-8, stroke=PAPER, strokeWidth=4).encode(
            x=frame.x("until:Q"), text=alt.Text("shown:N")
        ),
        base.mark_text(align="right", dx=-2, dy=-8, fill=SOFT_INK).encode(
            x=frame.x("until:Q"), text=alt.Text("shown:N")
        ),
    ]


def _dots(
    nights: Sequence[Row], key: str, poor: int, said: Callable[[int], str], frame: _Frame,
    y: alt.Y,
) -> Any:  # fmt: skip
    rows = [
        {
            "h": frame.centre(place),
            "v": row[key],
            "night": words.day(row["night"], year=False),
            "said": said(row[key]),
            "colour": ACCENT if row[key] <= poor else MAIN,
        }
        for place, row in enumerate(nights)
        if row[key] is not None
    ]
    tips = [alt.Tooltip("night:N", title="Night of"), alt.Tooltip("said:N", title="Noted")]
    return (
        chart_of(rows)
        .mark_point(size=90)
        .encode(x=frame.x(), y=y, color=alt.Color("colour:N", scale=None), tooltip=tips)
    )


def _scores(nights: Sequence[Row], frame: _Frame) -> Any:
    y = frame.y("v:Q", (0.5, 5.5), values=[1, 3, 5])
    dots = _dots(nights, "sleep_score", 2, lambda score: f"{score} of 5", frame, y)
    return frame.panel("Slept (1 to 5, 5 best)", 72, dots)


def _warmth(nights: Sequence[Row], frame: _Frame) -> Any:
    from tarebook.analysis.debrief_words import WARMTH

    names = " : ".join(f"datum.value == {at} ? '{said}'" for at, said in _NEUTRAL.items())
    y = frame.y("v:Q", (-3.5, 3.5), values=list(_NEUTRAL), labelExpr=f"{names} : ''")
    dots = _dots(nights, "warmth", -2, lambda warmth: WARMTH[warmth], frame, y)
    return frame.panel("Felt (−3 cold to +3 hot)", 72, dots)
