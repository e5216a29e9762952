"""The tables of the comfort page."""

from collections.abc import Callable, Mapping, Sequence

from ...display.tables import Table, decimal, measured, right, text, whole
from ...display.words import DASH, Display, large_mass, number, small_mass
from ...stats.estimate import Estimate
from .. import words as comfort_words
from ..gain import Gain
from ..next_swap import MOST_TRIPS_TO_SETTLE, Swap

_WHAT = text("what", "Comfort", lambda g: comfort_words.gain_name(g, 2))
_ASPECT = text("aspect", "Scores", lambda g: g.aspect.capitalize())
_PER_POINT = {"g": "Grams", "oz": "Ounces"}


def shelf_table(
    gains: Sequence[Gain], settle: Mapping[tuple[str, str], int], display: Display
) -> Table:
    """A row a comfort and aspect, as given."""

    def trips(gain: Gain) -> str:
        counts = [settle.get((gain.aspect, thing.item)) for thing in gain.bundle.things]
        fewest = min((n for n in counts if n is not None), default=None)
        if fewest is None:
            return DASH
        most = MOST_TRIPS_TO_SETTLE
        return f"over {most}" if fewest > most else str(fewest)

    columns = (
        _WHAT,
        _ASPECT,
        measured("weight", "Weight", small_mass(display), of=lambda g: g.bundle.weight_g),
        text("verdict", "Verdict", comfort_words.verdict_in_table),
        decimal("helps", "Chance of help", "%", 0, lambda g: 100 * g.p_helps),
        right("gain", "Gain", "points", lambda g: comfort_words.points_text(g.gain.value)),
        right("interval", "Very likely range", of=lambda g: comfort_words.interval_text(g.gain)),
        whole("with", "Days with", lambda g: g.bundle.days_with),
        whole("without", "Days without", lambda g: g.bundle.days_without),
        right("place", "Place", of=_place),
        right("settle", "Trips to settle", of=trips),
        decimal("told", "Share from your own data", "%", 0, lambda g: 100 * (1 - g.prior_share)),
    )
    return Table.of(columns, gains, "gain", caption="Comforts by aspect")


def _place(gain: Gain) -> str:
    if gain.best_place is None or gain.worst_place is None:
        return ""
    if gain.best_place == gain.worst_place:
        return str(gain.best_place)
    return f"{gain.best_place} to {gain.worst_place}"


def weight_table(gains: Sequence[Gain], display: Display) -> Table:
    """A row a comfort and aspect: points by weight, and weight by point where told apart."""
    large, small = large_mass(display), small_mass(display)
    per_kg = _ratio(lambda g: g.points_per_kg, 1 / (1000 * large.factor), 1)
    per_point = _ratio(lambda g: g.g_per_point, small.factor, small.decimals)
    a_point = f"{_PER_POINT[small.unit]} per point"
    columns = (
        _WHAT,
        _ASPECT,
        measured("weight", "Weight", small, of=lambda g: g.bundle.weight_g),
        right("per_kg", f"Points per {large.unit}, very likely range", of=per_kg),
        right("per_point", f"{a_point}, very likely range", small.unit, per_point),
    )
    return Table.of(columns, gains, "gain", caption="Gain by weight")


def _ratio(
    of: Callable[[Gain], Estimate | None], factor: float, decimals: int
) -> Callable[[Gain], str]:
    """How a ratio of a gain is written with its interval, so many times as large."""

    def write(gain: Gain) -> str:
        ratio = of(gain)
        if ratio is None:
            return ""
        ends = (ratio.value, ratio.low, ratio.high)
        value, low, high = (number(x * factor, decimals) for x in ends)
        return f"{value} ({low} to {high})"

    return write


def swap_table(swaps: Sequence[Swap]) -> Table:
    """A row a change."""
    columns = (
        text("what", "Change", comfort_words.swap_title),
        text("aspect", "Tells most of", lambda s: _ASPECT.read(s.narrows[0])),
        right(
            "with", "Days along", of=lambda s: f"{s.narrows[0].days_with} of {s.narrows[0].days}"
        ),
        decimal("before", "Known to within", "± points", 2, lambda s: s.narrows[0].before),
        decimal("after", "After one such trip", "± points", 2, lambda s: s.narrows[0].after),
    )
    return Table.of(columns, swaps, "change")
