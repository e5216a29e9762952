"""The time line that the panels of a trip stand on, from the first morning to the last evening.

Time is counted in hours from midnight of the first day, so that a drawing does not depend on the
time zone of the machine that draws it.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import altair as alt

from ...display.charts import panel_title
from ...display.day_axis import day_names, label_expression
from ...display.figure import chart_of
from ...display.theme import GRID, Layout

NIGHT_FROM_H, NIGHT_TO_H = 20, 32
DAY_FROM_H, DAY_TO_H = 9, 19
LABELS_PX = 46
_FIRST_H, _LAST_H = 6, 22
_LETTER_PX, _SYMBOL_PX = 6.6, 26
_LEGEND_COLUMNS = 3


class TripFrame:
    """What the panels share: their width, time axis and shading."""

    def __init__(self, nights: int, start: date, layout: Layout) -> None:
        self.nights = nights
        self.start = start
        self.layout = layout
        self.last = False
        # Of many nights a line through every reading is a blot; their lows are what is asked.
        self.crowded = nights > (14 if layout.narrow else 28)
        self.width = layout.px - LABELS_PX - 14
        self.domain = (_FIRST_H, 24 * nights + _LAST_H)

    @property
    def roomy(self) -> bool:
        """Whether a figure has room at every day or night."""
        return self.nights < (7 if self.layout.narrow else 12)

    def night_centre(self, night: int) -> float:
        """The middle of the shaded hours of a night, counted from 0."""
        return 24 * night + (NIGHT_FROM_H + NIGHT_TO_H) / 2

    def day_centre(self, day: int) -> float:
        """The middle of the hours of a day, counted from 0."""
        return 24 * day + (DAY_FROM_H + DAY_TO_H) / 2

    def hours(self, px: float) -> float:
        """How long a stretch of so many px lasts."""
        return px * (self.domain[1] - self.domain[0]) / self.width

    def x(self, field: str = "h:Q") -> alt.X:
        """The time axis; only the last panel shows it."""
        scale = alt.Scale(domain=list(self.domain), nice=False, zero=False)
        if not self.last:
            return alt.X(field, scale=scale, axis=None)
        days = [self.start + timedelta(days=n) for n in range(self.nights + 1)]
        names = {self.day_centre(n): name for n, name in day_names(days, self.layout).items()}
        axis = alt.Axis(
            values=list(names),
            labelExpr=label_expression(names),
            grid=False,
            labelOverlap=False,
            title="Day",
        )
        return alt.X(field, scale=scale, axis=axis)

    def legend_px(self, names: Sequence[str]) -> int:
        """How much room at its top a panel keeps for its legend."""
        return 22 * -(-len(names) // _LEGEND_COLUMNS) if len(names) > 1 else 0

    def legend(self, names: Sequence[str]) -> alt.Legend:
        """The legend of a panel, inside it, at the right end of its top.

        Outside it would push the title into the panel above.
        """
        columns = min(len(names), _LEGEND_COLUMNS)
        longest = max(len(name) for name in names) * _LETTER_PX + _SYMBOL_PX
        return alt.Legend(
            title=None,
            orient="none",
            direction="horizontal",
            columns=columns,
            legendX=round(self.width - longest * columns),
            legendY=2,
            symbolSize=60,
        )

    def panel(self, title: str, height: int, *layers: alt.Chart) -> Any:
        """A panel with its title and the nights shaded behind its layers."""
        rows = [
            {"h": 24 * n + NIGHT_FROM_H, "until": 24 * n + NIGHT_TO_H} for n in range(self.nights)
        ]
        shade = (
            chart_of(rows)
            .mark_rect(color=GRID, opacity=0.55)
            .encode(x=self.x(), x2=alt.X2("until"))
        )
        heading = panel_title(title, self.layout, 4)
        return alt.layer(shade, *layers).properties(width=self.width, height=height, title=heading)

    def y(self, field: str, domain: tuple[float, float], **axis: Any) -> alt.Y:
        """A vertical axis whose labels take as much room as those of the other panels."""
        return alt.Y(
            field,
            title=None,
            scale=alt.Scale(domain=list(domain), nice=False, zero=False),
            axis=alt.Axis(minExtent=LABELS_PX, maxExtent=LABELS_PX, **axis),
        )
