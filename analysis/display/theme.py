"""Colours, sizes and the one look of every chart.

Colours: Okabe & Ito, "Color Universal Design" (2008), eight colours told apart with every common
kind of colour vision, used here with shape or position beside them, never alone.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

OKABE_ITO = MappingProxyType(
    {
        "black": "#000000",
        "orange": "#E69F00",
        "sky": "#56B4E9",
        "green": "#009E73",
        "yellow": "#F0E442",
        "blue": "#0072B2",
        "vermillion": "#D55E00",
        "purple": "#CC79A7",
    }
)
MAIN = OKABE_ITO["blue"]
"""What is measured or needed; of changes, the lighter."""
ACCENT = OKABE_ITO["vermillion"]
"""What to look at: unused, heavier, too cold, could stay at home. Never a mere kind of load."""
SERIES = tuple(
    OKABE_ITO[name] for name in ("blue", "orange", "green", "purple", "sky", "vermillion")
)
INK = "#22292F"
SOFT_INK = "#59636B"
GRID = "#E4E8EA"
CONTEXT = "#A9B1B6"
PAPER = "#FFFFFF"

# Metrics of the first are built into the renderer, so that a layout is the same on every machine;
# the others have the same widths where a reader's own machine draws the text.
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"


@dataclass(frozen=True)
class Layout:
    """One width class: total width, type size and the longest label, all in px as displayed."""

    name: Literal["wide", "narrow"]
    px: int
    font_px: float
    label_px: int

    @property
    def narrow(self) -> bool:
        """Whether this is the layout for a phone."""
        return self.name == "narrow"

    def rows(self, n: int, *, step_px: int = 24) -> int:
        """Return the height of a plot of n rows, one label each."""
        return max(2, n) * step_px + 46


WIDE = Layout("wide", 680, 12.5, 230)
NARROW = Layout("narrow", 330, 12, 128)
LAYOUTS = (WIDE, NARROW)


def config(layout: Layout) -> dict[str, Any]:
    """Return the Vega-Lite config of a layout."""
    text = {"font": FONT, "fontSize": layout.font_px, "fill": INK}
    letters = {
        **{"labelFontSize": layout.font_px, "titleFontSize": layout.font_px},
        **{"titleFontWeight": "normal", "labelColor": INK, "titleColor": SOFT_INK},
    }
    return {
        "background": PAPER,
        "font": FONT,
        "padding": 4,
        "customFormatTypes": False,
        "view": {"stroke": None, "clip": False},
        "mark": {"color": MAIN},
        "bar": {"color": MAIN},
        "point": {"filled": True, "size": 64, "color": MAIN, "opacity": 1},
        "line": {"strokeWidth": 2, "color": MAIN},
        "rule": {"color": SOFT_INK, "strokeWidth": 1.5},
        "area": {"color": MAIN, "opacity": 0.18},
        "text": text,
        "range": {"category": list(SERIES), "ordinal": {"scheme": "blues"}},
        "axis": {
            **letters,
            "titlePadding": 8,
            "labelPadding": 6,
            "labelLimit": layout.label_px,
            "labelOverlap": "greedy",
            "gridColor": GRID,
            "domain": False,
            "ticks": False,
        },
        "axisQuantitative": {"tickCount": 4 if layout.narrow else 7},
        "axisBand": {"grid": False, "labelOverlap": False},
        "legend": {
            "orient": "top",
            "direction": "vertical" if layout.narrow else "horizontal",
            **letters,
            "labelLimit": layout.px - 60,
            "symbolStrokeWidth": 2,
            "offset": 8,
        },
        "header": {
            "labelFontSize": layout.font_px,
            "titleFontSize": layout.font_px,
            "labelColor": INK,
            "labelFontWeight": "bold",
            "labelAnchor": "start",
            "title": None,
        },
        "title": {"anchor": "start", "fontSize": layout.font_px + 1, "color": INK},
    }
