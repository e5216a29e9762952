"""Colours, sizes and the one look of every chart.

Colours: Okabe & Ito, "Color Universal Design" (2008), eight colours told apart with every common
kind of colour vision, used here with shape or position beside them, never alone. Four of them are
darker here, so that marks have 3:1 on paper (WCAG 2.2, 1.4.11); for a dark screen all have a twin.
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
COLOURS = MappingProxyType(
    {
        **OKABE_ITO,
        **{"orange": "#BA7B00", "sky": "#2A8DC6", "vermillion": "#B84F00", "purple": "#93396F"},
    }
)
"""The same for marks and letters on white paper: four are darker, as far apart as before."""
MAIN = COLOURS["blue"]
"""What is measured or needed; of changes, the lighter."""
ACCENT = COLOURS["vermillion"]
"""What to look at: unused, heavier, too cold, could stay at home. Never a mere kind of load."""
SERIES = tuple(COLOURS[name] for name in ("blue", "orange", "green", "purple", "sky", "vermillion"))
INK = "#22292F"
SOFT_INK = "#59636B"
GRID = "#E4E8EA"
CONTEXT = "#7A858D"
PAPER = "#FFFFFF"

LIGHT = MappingProxyType(
    {
        **{"paper": PAPER, "tint": "#F5F7F8", "warm": "#FDF5EF"},
        **{"ink": INK, "soft": SOFT_INK, "line": "#DDE2E5", "grid": GRID, "context": CONTEXT},
        **COLOURS,
    }
)
"""Every colour of a page by its name; grounds first (paper; behind notices; behind cautions)."""
DARK = MappingProxyType(
    {
        **{"paper": "#16191C", "tint": "#1E2428", "warm": "#2A211B"},
        **{"ink": "#E6EAED", "soft": "#A3AEB6", "line": "#343D43", "grid": "#2F383E"},
        **{"context": "#7E8A92", "black": "#F2F4F5", "orange": "#EFB02A", "sky": "#8CCBF0"},
        **{"green": "#00B685", "yellow": "#F0E442", "blue": "#4FA3DF", "vermillion": "#EB6A22"},
        **{"purple": "#DB98BF"},
    }
)
"""The same names for who prefers a dark screen."""


def colour_rules() -> str:
    """Return the style rules that give a page and its pictures their colours, light and dark.

    Pictures have their colours written into them, those that a script draws as well; the rules find
    them by these, so that a picture is right in a notebook too, where no rule is.
    """
    light, dark = (
        "".join(f"--{name}:{colour.lower()};" for name, colour in ground.items())
        for ground in (LIGHT, DARK)
    )
    drawn = [name for name in LIGHT if name not in ("tint", "warm", "line")]
    written = [(LIGHT[name], name) for name in drawn]
    written += [(colour, name) for name, colour in OKABE_ITO.items() if colour != COLOURS[name]]
    rules = [
        f'.plot [{part}="{colour}" i]{{{part}:var(--{name})}}'
        for colour, name in written
        for part in ("fill", "stroke")
    ]
    return "\n".join(
        (
            f":root{{color-scheme:light;{light}}}",
            f"@media screen and (prefers-color-scheme:dark){{:root{{color-scheme:dark;{dark}}}}}",
            *rules,
            "",
        )
    )


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
