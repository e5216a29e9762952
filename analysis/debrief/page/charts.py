"""The pictures of a debrief that show weight: sorted bars, and the steps from one trip to the next.

Each takes rows and gives a function from a layout to a chart.
"""

from collections.abc import Mapping, Sequence

from ...display.bars import Bar, Group, bar_chart, bars_alone, longest
from ...display.figure import Build
from ...display.load_shown import LoadShown, parts_shown
from ...display.rounding import apportioned
from ...display.theme import ACCENT, INK, MAIN, SOFT_INK
from ...display.words import Display, Scale, count, label, large_mass, mass, number, small_mass
from ...store.rows import Record
from ..load import Weight
from .words import change_kind

_KINDS = (("base_g", "Base", 14), ("worn_g", "Worn", 4), ("consumable_g", "Consumables", 4))
_MOST_STEPS = 12
_GROUP_COLOURS = (ACCENT, SOFT_INK, MAIN, SOFT_INK, MAIN)
"""Of what could have stayed, whose weather did not come, what stays, what is gone, the rest."""


def systems_shown(rows: Sequence[Record], of: Weight, display: Display) -> list[Record]:
    """Rows of `system_weights` in grams as shown: each kind adds up to its sum on the small scale.

    The table and the picture have them from here.
    """
    scale = small_mass(display)
    load = LoadShown.on(scale, of.kinds)
    shown = {
        key: parts_shown(scale, [row[key] for row in rows], load.kinds.get(key.removesuffix("_g")))
        for key in (*(key for key, *_ in _KINDS), "vehicle_g")
    }
    return [{**row, **{key: shown[key][n] for key in shown}} for n, row in enumerate(rows)]


def system_weights_chart(
    rows: Sequence[Record], sums: Mapping[str, str], display: Display
) -> Build:
    """Base, worn and consumable weight on one scale, each by system, heaviest first.

    sums: what each kind weighs, as said, by base_g, worn_g and consumable_g. What is bike or boat
    is not drawn: it would leave no room for the rest.
    """
    scale = small_mass(display)
    groups = []
    for key, title, at_most in _KINDS:
        weights = [
            (label(row["system"]), row[key]) for row in rows if row[key] is None or row[key] > 0
        ]
        groups.append(Group(title, _bars(weights, at_most, "system", scale), sums[key]))
    return bar_chart(groups, f"Weight ({scale.unit})")


def bags_chart(rows: Sequence[Record], display: Display) -> Build:
    """What each bag held at the start, heaviest first; rows have bag and held_g."""
    scale = large_mass(display)
    bars = _bars([(row["bag"], row["held_g"]) for row in rows], 12, "bag", scale)
    return bars_alone(bars, f"Weight at the start ({scale.unit})")


def never_out_chart(groups: Mapping[str, Sequence[Record]], display: Display) -> Build:
    """What came along and was not used, by group, heaviest first; each group in its colour."""
    scale = small_mass(display)
    drawn = []
    for (title, rows), colour in zip(groups.items(), _GROUP_COLOURS, strict=True):
        weights = [
            (f"{row['name']} × {number(row['pieces'])}", row["weight_g"])
            if row["pieces"] > 1
            else (row["name"], row["weight_g"])
            for row in rows
        ]
        known = [grams for _, grams in weights if grams is not None]
        at_least = len(known) < len(weights)
        total = mass(sum(known), display, at_least=at_least) if known else ""
        drawn.append(Group(title, _bars(weights, 10, "thing", scale, colour), total))
    return bar_chart(drawn, f"Weight ({scale.unit})")


def changes_chart(rows: Sequence[Record], display: Display) -> Build:
    """Steps from the former base weight to this one, the largest first, and what they come to."""
    scale = small_mass(display)
    in_unit = Scale(scale.unit, decimals=scale.decimals)
    steps = [scale.value(row["delta_g"]) or 0.0 for row in rows]
    rounded = apportioned(steps, scale.decimals)
    drawn = len(rows) if len(rows) <= _MOST_STEPS else _MOST_STEPS - 1
    names = [(row["name"], f", {change_kind(row)}") for row in rows[:drawn]]
    lengths = list(zip(steps, rounded, strict=True))[:drawn]
    if drawn < len(rows):
        names.append((count(len(rows) - drawn, "smaller change"), ""))
        lengths.append((sum(steps[drawn:]), sum(rounded[drawn:])))
    bars: list[Bar] = []
    start = 0.0
    for (name, how), (step, shown) in zip(names, lengths, strict=True):
        text = f"{in_unit.text(shown, signed=True)}{how}"
        bars.append(Bar(name, step, text, MAIN if step < 0 else ACCENT, start))
        start += step
    total = Bar("In all", sum(steps), in_unit.text(sum(rounded), signed=True), INK)
    return bars_alone((*bars, total), f"Change of base weight ({scale.unit})")


def _bars(
    weights: Sequence[tuple[str, float | None]],
    at_most: int,
    noun: str,
    scale: Scale,
    colour: str = MAIN,
) -> tuple[Bar, ...]:
    """Bars of names and grams, longest first, those beyond at_most in one.

    What is not weighed has no bar and comes last.
    """
    bars = [
        Bar(name, scale.value(grams), "not weighed" if grams is None else scale.text(grams), colour)
        for name, grams in weights
    ]
    bars.sort(key=lambda bar: (bar.length is None, -(bar.length or 0)))
    beyond = bars[at_most - 1 :]
    total = Scale(scale.unit, decimals=scale.decimals).text(sum(bar.length or 0 for bar in beyond))
    return longest(bars, at_most, count(len(beyond), f"lighter {noun}"), total)
