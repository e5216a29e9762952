"""The pictures of a debrief that show weight: sorted bars, and the steps from one trip to the next.

Each takes rows as `frames.records` returns them and gives a function from a layout to a chart.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ...display.bars import Bar, Group, bar_chart, longest
from ...display.rounding import apportioned
from ...display.theme import ACCENT, INK, MAIN, Layout
from ...display.words import Display, Scale, count, label, large_mass, number, small_mass

Build = Callable[[Layout], Any]
Row = Mapping[str, Any]

CAUSES = {
    "added": "brought along",
    "dropped": "left at home",
    "carried_otherwise": "carried otherwise",
    "reweighed": "reweighed",
}
_KINDS = (("base_g", "Base", 14), ("worn_g", "Worn", 4), ("consumable_g", "Food and fuel", 4))
_NOT_WEIGHED = "not weighed"


def by_system(rows: Sequence[Row], sums: Mapping[str, str], display: Display) -> Build:
    """Base, worn and consumable weight on one scale, each by system, heaviest first.

    sums: what each kind weighs, as said, by base_g, worn_g and consumable_g. What is bike or boat
    is not drawn: it would leave no room for the rest.
    """
    scale = small_mass(display)
    groups = []
    for key, title, at_most in _KINDS:
        of_kind = [row for row in rows if row[key] is None or row[key] > 0]
        found = _weights(of_kind, key, lambda row: label(row["system"]), scale)
        groups.append(Group(title, _shortened(found, at_most, "system", scale), sums[key]))
    return lambda layout: bar_chart(groups, layout, f"Weight ({scale.unit})")


def by_bag(rows: Sequence[Row], display: Display) -> Build:
    """What each bag held at the start, heaviest first; rows have bag and held_g."""
    scale = large_mass(display)
    found = _weights(rows, "held_g", lambda row: row["bag"], scale)
    groups = [Group("", _shortened(found, 12, "bag", scale))]
    return lambda layout: bar_chart(groups, layout, f"Weight at the start ({scale.unit})")


def never_out(rows: Sequence[Row], display: Display) -> Build:
    """What came along and was not used, heaviest first."""
    scale = small_mass(display)
    found = _weights(rows, "weight_g", _with_pieces, scale, ACCENT)
    groups = [Group("", _shortened(found, 15, "thing", scale))]
    return lambda layout: bar_chart(groups, layout, f"Weight ({scale.unit})")


def changes(rows: Sequence[Row], display: Display) -> Build:
    """Steps from the former base weight to this one, the largest first, and what they come to."""
    scale = small_mass(display)
    steps = [scale.value(row["delta_g"]) or 0.0 for row in rows]
    bars: list[Bar] = []
    reached = 0.0
    said = apportioned(steps, scale.decimals)
    at_most = 11 if len(rows) > 12 else 12
    for row, step, shown in list(zip(rows, steps, said, strict=True))[:at_most]:
        how = f", {change_kind(row)}"
        bars.append(_step(str(row["name"]), reached, step, shown, scale, how))
        reached += step
    if len(rows) > at_most:
        rest = f"{count(len(rows) - at_most, 'smaller change')}"
        bars.append(_step(rest, reached, sum(steps[at_most:]), sum(said[at_most:]), scale))
    total = Bar("In all", sum(steps), _signed(sum(said), scale), INK)
    groups = [Group("", (*bars, total))]
    return lambda layout: bar_chart(groups, layout, f"Change of base weight ({scale.unit})")


def change_kind(row: Row) -> str:
    """Return how an item changed: "left at home", "2 instead of 1"."""
    if row["cause"] == "swapped":
        if row["pieces_before"] and row["pieces_after"]:
            return "swapped"
        return "swapped in" if row["pieces_after"] else "swapped out"
    if row["cause"] == "quantity":
        return f"{row['pieces_after']} instead of {row['pieces_before']}"
    return CAUSES[row["cause"]]


def _step(name: str, start: float, step: float, shown: float, scale: Scale, how: str = "") -> Bar:
    colour = MAIN if step < 0 else ACCENT
    return Bar(name, step, f"{_signed(shown, scale)}{how}", colour, start)


def _signed(shown: float, scale: Scale) -> str:
    return Scale(scale.unit, decimals=scale.decimals).text(shown, signed=True)


def _weights(
    rows: Sequence[Row],
    key: str,
    name: Callable[[Row], str],
    scale: Scale,
    colour: str = MAIN,
) -> list[Bar]:
    """Bars, longest first; what is not weighed has none and comes last."""
    bars = [
        Bar(
            str(name(row)),
            scale.value(row[key]),
            _NOT_WEIGHED if row[key] is None else scale.text(row[key]),
            colour,
        )
        for row in rows
    ]
    return sorted(bars, key=lambda bar: (bar.length is None, -(bar.length or 0)))


def _shortened(bars: Sequence[Bar], at_most: int, noun: str, scale: Scale) -> tuple[Bar, ...]:
    beyond = bars[at_most - 1 :]
    total = sum(bar.length or 0 for bar in beyond)
    return longest(
        bars,
        at_most,
        f"{count(len(beyond), f'lighter {noun}')}",
        Scale(scale.unit, decimals=scale.decimals).text(total),
    )


def _with_pieces(row: Row) -> str:
    return f"{row['name']} × {number(row['pieces'])}" if row["pieces"] > 1 else str(row["name"])
