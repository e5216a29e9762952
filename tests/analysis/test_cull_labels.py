"""Names in the picture of weight against use touch no mark and no other name."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tarebook.analysis.cull.page.charts import KEEP, LEAVE, ThingDot, clear_of, weight_against_use
from tarebook.analysis.display.figure import Figure
from tarebook.analysis.display.theme import LAYOUTS, Layout
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.beta_binomial import Rate

PLOT_PX, LETTER_PX = 340, 5.9
"""The plot's height; a letter of the bold face as Chromium draws it, 118 px for twenty of them."""


def rate(value: float) -> Rate:
    return Rate(value, max(value - 0.02, 0.0), min(value + 0.08, 1.0), 0.9)


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda each: each.name)
def test_a_name_touches_no_mark(layout: Layout) -> None:
    """As it was on a phone: the last letter of a name met the square of another thing."""
    dots = [
        ThingDot("Field guide to trees", LEAVE, 214.0, rate(0.02), ""),
        ThingDot("Folding saw", LEAVE, 188.0, rate(0.02), ""),
        ThingDot("Second mug, for guests", LEAVE, 84.0, rate(0.02), ""),
        ThingDot("Power bank", KEEP, 270.0, rate(0.53), ""),
        ThingDot("Cup", KEEP, 78.0, rate(0.5), ""),
        ThingDot("Stone", KEEP, 1500.0, rate(0.95), ""),
        ThingDot("Pin", KEEP, 3.0, rate(0.95), ""),
    ]
    spec = Figure("x", "Weights.", weight_against_use(dots, Display())).spec(layout)
    datasets = list(spec["datasets"].values())
    labels = next(rows for rows in datasets if "place" in rows[0])
    weights = [dot.weight_g for dot in dots]
    scale = PLOT_PX / (math.log(max(weights) * 1.6) - math.log(min(weights) / 1.25))
    percent_px = (layout.px - 46) / 100
    for label in labels:
        for dot in dots:
            x = (100 * dot.rate.value - label["at"]) * percent_px
            y = abs(math.log(dot.weight_g) - math.log(label["place"])) * scale
            beside = -4 < x < len(label["name"]) * LETTER_PX + 4
            assert not (beside and y < 9), (label["name"], dot.name, x, y)
    heights = sorted(math.log(label["place"]) * scale for label in labels)
    assert all(b - a > 14 for a, b in itertools.pairwise(heights))


@given(
    st.lists(st.tuples(st.floats(0, 340), st.floats(20, 160)), min_size=1, max_size=6),
    st.lists(st.tuples(st.floats(-50, 250), st.floats(0, 340)), max_size=12),
)
def test_names_keep_their_order_and_their_distance(
    names: list[tuple[float, float]], marks: list[tuple[float, float]]
) -> None:
    places = [name[0] for name in names]
    clear = clear_of(places, [name[1] for name in names], marks)
    order = sorted(range(len(places)), key=lambda i: -places[i])
    for upper, lower in itertools.pairwise(order):
        assert clear[upper] - clear[lower] >= 16 - 1e-9
