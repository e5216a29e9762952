"""What is usual, as a band over the dates, with nights on it: those that were, or those to come.

Time is counted in days from the first night shown, so that a drawing does not depend on the time
zone of the machine that draws it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from ..display import words
from ..display.charts import tips
from ..display.day_axis import label_expression
from ..display.figure import chart_of
from ..display.theme import ACCENT, CONTEXT, INK, MAIN, PAPER, SOFT_INK, Layout
from ..display.words import Display, Scale, temperature_scale
from ..stats.constants import NINE_IN_TEN_SD
from .normals import TWO_IN_THREE_SD, BandNight, NightContext
from .outlook import OutlookNight
from .words import of_a_hundred

if TYPE_CHECKING:
    import altair as alt

_NAMED_NIGHTS = {"wide": 8, "narrow": 2}
_HALF_NIGHT = 0.32


@dataclass(frozen=True, slots=True)
class Limit:
    """A temperature in °C to be drawn across, and what it is."""

    low_c: float
    label: str


def past_chart(
    band: Sequence[BandNight], nights: Sequence[NightContext], display: Display, layout: Layout
) -> Any:
    """The band, and the measured lows of a trip's nights as dots."""
    frame = _Frame(band, display, layout)
    measured = [night for night in nights if night.low_c is not None]
    marks = [frame.scale.value(night.low_c) for night in measured]
    rows = [_dot(night, frame) for night in measured]
    titles = {"night": "Night of", "low": "Low", "usual": "Usual low"}
    if any(row["as_cold"] for row in rows):
        titles["as_cold"] = "Colder nights in 100"
    dots = chart_of(rows).encode(x=frame.x(), y=frame.y(marks))
    look: dict[str, Any] = {"color": MAIN, "size": 90, "stroke": PAPER, "strokeWidth": 1.5}
    layers = [dots.mark_point(**look, opacity=1).encode(tooltip=tips(**titles))]
    if len(rows) > _NAMED_NIGHTS[layout.name]:
        coldest = min(measured, key=lambda night: (night.low_c or 0.0, night.night))
        rows = [_dot(coldest, frame)]
    for above, dy in ((True, -15), (False, 16)):
        named = chart_of([row for row in rows if row["above"] is above])
        text = named.mark_text(dy=dy, fontWeight="bold", fill=MAIN)
        layers.append(text.encode(x=frame.x(), y=frame.y(marks), text="shown:N"))
    return frame.chart(layers, marks)


def _dot(night: NightContext, frame: "_Frame") -> dict[str, Any]:
    percentile = night.percentile
    return {
        "d": frame.day(night.night),
        "t": frame.scale.value(night.low_c),
        "above": (night.anomaly_c or 0.0) > 0,
        "shown": frame.scale.number(night.low_c),
        "night": words.day(night.night, year=False),
        "low": frame.scale.text(night.low_c),
        "usual": frame.scale.text(night.normal_low_c),
        "as_cold": "" if percentile is None else of_a_hundred(percentile),
    }


def outlook_chart(
    band: Sequence[BandNight],
    nights: Sequence[OutlookNight],
    limit: Limit | None,
    display: Display,
    layout: Layout,
) -> Any:
    """The band, on it the nights to come as columns of what is usual, and the limit across."""
    frame = _Frame(band, display, layout)
    rows = [_column(night, frame) for night in nights]
    marks = [frame.scale.value(limit.low_c)] if limit else []
    base = chart_of(rows).encode(y=frame.y(marks))
    span = {"x": frame.x("from:Q"), "x2": "until:Q"}
    about = tips(night="Night of", usual="Usual low")
    layers: list[Any] = []
    if all("low" in row for row in rows):
        ends = {"y": frame.y(marks, "low:Q"), "y2": "high:Q"}
        column = base.mark_rect(color=MAIN, opacity=0.3)
        layers.append(column.encode(**span, **ends, tooltip=about))
    layers.append(base.mark_rule(color=MAIN, strokeWidth=3).encode(**span, tooltip=about))
    return frame.chart([*layers, *(frame.across(limit) if limit else ())], marks)


def _column(night: OutlookNight, frame: "_Frame") -> dict[str, Any]:
    at, scale = frame.day(night.night), frame.scale
    return {
        "from": at - _HALF_NIGHT,
        "until": at + _HALF_NIGHT,
        "t": scale.value(night.normal_low_c),
        "night": words.day(night.night, year=False),
        "usual": scale.text(night.normal_low_c),
        **_middle(night, scale, NINE_IN_TEN_SD),
    }


def _middle(
    night: BandNight, scale: Scale, deviations: float, prefix: str = ""
) -> dict[str, float | None]:
    """The ends of a night's middle part; nothing where the spread is not known."""
    ends = night.middle_c(deviations)
    if ends is None:
        return {}
    return {f"{prefix}low": scale.value(ends[0]), f"{prefix}high": scale.value(ends[1])}


class _Frame:
    """Band, axes and labels that both pictures share."""

    def __init__(self, band: Sequence[BandNight], display: Display, layout: Layout) -> None:
        self.layout = layout
        self.scale = temperature_scale(display)
        self.first = band[0].night
        self.nights = len(band)
        self.rows: list[dict[str, Any]] = [
            {
                "d": self.day(night.night),
                "t": self.scale.value(night.normal_low_c),
                **_middle(night, self.scale, NINE_IN_TEN_SD),
                **_middle(night, self.scale, TWO_IN_THREE_SD, "inner_"),
            }
            for night in band
        ]
        self.spread = all("low" in row for row in self.rows)

    def day(self, night: date) -> int:
        return (night - self.first).days

    def x(self, field: str = "d:Q") -> "alt.X":
        import altair as alt

        every = -(-self.nights // (4 if self.layout.narrow else 8))
        days = list(range(every // 2, self.nights, every))
        names = {n: _short_day(self.first + timedelta(days=n)) for n in days}
        axis = alt.Axis(
            values=days,
            labelExpr=label_expression(names),
            grid=False,
            title="Night that began on",
        )
        domain = [-0.5, self.nights - 0.5]
        return alt.X(field, scale=alt.Scale(domain=domain, nice=False, zero=False), axis=axis)

    def y(self, marks: Sequence[float | None], field: str = "t:Q") -> "alt.Y":
        import altair as alt

        ends = [row[key] for row in self.rows for key in ("low", "high", "t") if key in row]
        ends += [mark for mark in marks if mark is not None]
        room = max(max(ends) - min(ends), 4) * 0.08
        scale = alt.Scale(domain=[min(ends) - 1.6 * room, max(ends) + room], nice=False, zero=False)
        return alt.Y(field, title=f"Night low ({self.scale.unit})", scale=scale)

    def across(self, limit: Limit) -> list[Any]:
        """A dashed line over the whole width, named at its left end."""
        at = self.scale.value(limit.low_c)
        row = {"d": -0.5, "until": self.nights - 0.5, "t": at, "said": limit.label}
        base = chart_of([row]).encode(x=self.x(), y=self.y([at]))
        label = base.encode(text="said:N")
        return [
            base.mark_rule(color=ACCENT, strokeDash=[6, 4], strokeWidth=2).encode(x2="until:Q"),
            label.mark_text(align="left", dx=4, dy=-9, stroke=PAPER, strokeWidth=4),
            label.mark_text(align="left", dx=4, dy=-9, fill=ACCENT),
        ]

    def chart(self, layers: Sequence[Any], marks: Sequence[float | None]) -> Any:
        """The band below, the layers on it, the band's own names, at its right end, last."""
        import altair as alt

        base = chart_of(self.rows).encode(x=self.x(), y=self.y(marks))
        below, names = [], {"t": "usual low"}
        if self.spread:
            area = base.mark_area(color=CONTEXT, opacity=0.32)
            below = [
                area.encode(y=self.y(marks, f"{part}low:Q"), y2=f"{part}high:Q")
                for part in ("", "inner_")
            ]
            names = {"high": "9 nights in 10", "inner_high": "2 in 3", **names}
        line = base.mark_line(color=SOFT_INK, strokeWidth=1.5)
        last, at = self.rows[-1], self.nights - 1.15
        named = chart_of([{"d": at, "t": last[key], "said": name} for key, name in names.items()])
        label = named.encode(x=self.x(), y=self.y(marks), text="said:N")
        return alt.layer(
            *below, line, *layers, label.mark_text(align="right", dy=9, fill=INK)
        ).properties(height=230 if self.layout.narrow else 290)


def _short_day(night: date) -> str:
    day, month = words.day(night, weekday=False, year=False).split()
    return f"{day} {month[:3]}"
