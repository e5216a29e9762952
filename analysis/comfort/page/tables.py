"""The tables of the comfort page."""

from collections.abc import Mapping, Sequence

from ...display.tables import Column, Table, decimal, measured, text, whole
from ...display.words import Display, large_mass, number, small_mass
from ...stats.estimate import Estimate
from .. import words as said
from ..gain import Gain
from ..next_swap import MOST_TRIPS, Swap


def shelf_table(
    gains: Sequence[Gain], settle: Mapping[tuple[str, str], int], display: Display
) -> Table:
    """A row a comfort and aspect, as given."""
    rows = [
        {
            "what": said.name_of(g, 2),
            "aspect": said.SCORES_OF[g.aspect].capitalize(),
            "weight": g.bundle.weight_g,
            "verdict": said.VERDICTS[g.verdict],
            "helps": 100 * g.p_helps,
            "gain": said.points(g.gain.value),
            "interval": said.interval(g.gain),
            "with": g.bundle.days_with,
            "without": g.bundle.days_without,
            "place": _place(g),
            "settle": said.trips_to_settle(_settle(g, settle), MOST_TRIPS),
            "told": 100 * (1 - g.prior_share),
        }
        for g in gains
    ]
    columns = (
        text("what", "Comfort"),
        text("aspect", "Scores"),
        measured("weight", "Weight", small_mass(display)),
        text("verdict", "Verdict"),
        decimal("helps", "Chance of help", "%", 0),
        _right("gain", "Gain", "points"),
        _right("interval", "90 % interval"),
        whole("with", "Days with"),
        whole("without", "Days without"),
        _right("place", "Place"),
        _right("settle", "Trips to settle"),
        decimal("told", "Share from your own data", "%", 0),
    )
    return Table.of(columns, rows, "gain", caption="Comforts by aspect")


def _right(key: str, header: str, unit: str = "") -> Column:
    return Column(key, header, unit, "right")


def _place(gain: Gain) -> str:
    if gain.best_place is None or gain.worst_place is None:
        return ""
    if gain.best_place == gain.worst_place:
        return str(gain.best_place)
    return f"{gain.best_place} to {gain.worst_place}"


def _settle(gain: Gain, settle: Mapping[tuple[str, str], int]) -> int | None:
    known = [settle.get((gain.aspect, thing.item)) for thing in gain.bundle.things]
    found = [trips for trips in known if trips is not None]
    return min(found) if found else None


_PER_POINT = {"g": "Grams", "oz": "Ounces"}


def weight_table(gains: Sequence[Gain], display: Display) -> Table:
    """A row a comfort and aspect: points by weight, and weight by point where told apart."""
    large, small = large_mass(display), small_mass(display)
    rows = [
        {
            "what": said.name_of(g, 2),
            "aspect": said.SCORES_OF[g.aspect].capitalize(),
            "weight": g.bundle.weight_g,
            "per_kg": _per(g.points_per_kg, 1 / (1000 * large.factor), 1),
            "per_point": _per(g.g_per_point, small.factor, small.decimals),
        }
        for g in gains
    ]
    columns = (
        text("what", "Comfort"),
        text("aspect", "Scores"),
        measured("weight", "Weight", small),
        _right("per_kg", f"Points per {large.unit}, 90 % interval"),
        _right("per_point", f"{_PER_POINT[small.unit]} per point, 90 % interval", small.unit),
    )
    return Table.of(columns, rows, "gain", caption="Gain by weight")


def _per(found: Estimate | None, factor: float, decimals: int) -> str:
    if found is None:
        return ""
    value, low, high = (number(x * factor, decimals) for x in (found.value, found.low, found.high))
    return f"{value} ({low} to {high})"


def swap_table(found: Sequence[Swap]) -> Table:
    """A row a change."""
    rows = [
        {
            "what": said.swap_title(s),
            "aspect": said.SCORES_OF[s.narrows[0].aspect].capitalize(),
            "with": f"{s.narrows[0].days_with} of {s.narrows[0].days}",
            "before": s.narrows[0].before,
            "after": s.narrows[0].after,
        }
        for s in found
    ]
    columns = (
        text("what", "Change"),
        text("aspect", "Tells most of"),
        _right("with", "Days along"),
        decimal("before", "Known to within", "± points", 2),
        decimal("after", "After one such trip", "± points", 2),
    )
    return Table.of(columns, rows, "change")
