"""The tables of the comfort page."""

from collections.abc import Mapping, Sequence

from tarebook.analysis import comfort_words as said
from tarebook.analysis.cold_limit import ColdLimit
from tarebook.analysis.cold_trips import ColdAhead
from tarebook.analysis.comfort_gain import Gain, Interval
from tarebook.analysis.next_swap import MOST_TRIPS, Swap
from tarebook.analysis.station_choice import NoStation
from tarebook.analysis.tables import Column, Table, decimal, measured, text, whole
from tarebook.analysis.words import (
    Display,
    days,
    large_mass,
    listing,
    number,
    percent,
    small_mass,
    temperature_scale,
)


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
        text("what", "Comfort"), text("aspect", "Scores"),
        measured("weight", "Weight", small_mass(display)), text("verdict", "Verdict"),
        decimal("helps", "Chance of help", "%", 0), _right("gain", "Gain", "points"),
        _right("interval", "90 % interval"), whole("with", "Days with"),
        whole("without", "Days without"), _right("place", "Place"),
        _right("settle", "Trips to settle"), decimal("told", "Share from your own data", "%", 0),
    )  # fmt: skip
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
        text("what", "Comfort"), text("aspect", "Scores"), measured("weight", "Weight", small),
        _right("per_kg", f"Points per {large.unit}, 90 % interval"),
        _right("per_point", f"{_PER_POINT[small.unit]} per point, 90 % interval", small.unit),
    )  # fmt: skip
    return Table.of(columns, rows, "gain", caption="Gain by weight")


def _per(found: Interval | None, factor: float, decimals: int) -> str:
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
        text("what", "Change"), text("aspect", "Tells most of"), _right("with", "Days along"),
        decimal("before", "Known to within", "± points", 2),
        decimal("after", "After one such trip", "± points", 2),
    )  # fmt: skip
    return Table.of(columns, rows, "change")


def limit_table(limits: Sequence[ColdLimit], display: Display) -> Table:
    """A row a sleep system."""
    scale = temperature_scale(display, 0)
    rows = [
        {
            "system": listing(limit.system.names),
            "rated": limit.system.rated_low_c,
            "as": limit.system.rated_as.capitalize(),
            "own": limit.own_limit_c,
            "interval": f"{scale.number(limit.own_limit_low_c)} to "
            f"{scale.number(limit.own_limit_high_c)}",
            "nights": limit.nights,
            "cold": limit.cold_nights,
            "coldest": limit.coldest_c,
            "told": 100 * (1 - limit.prior_share),
        }
        for limit in limits
    ]
    columns = (
        text("system", "Sleep system"), measured("rated", "Rated", scale), text("as", "Rating"),
        measured("own", "Own limit", scale), _right("interval", "90 % interval", scale.unit),
        whole("nights", "Judged nights"), whole("cold", "Too cold"),
        measured("coldest", "Coldest", scale), decimal("told", "Doubt taken away", "%", 0),
    )  # fmt: skip
    return Table.of(columns, rows, "sleep system")


def ahead_table(trips: Sequence[ColdAhead], display: Display) -> Table:
    """A row a trip to come of which the chance is known."""
    scale = temperature_scale(display, 0)
    rows = [
        {
            "trip": a.trip.title,
            "when": days(a.trip.start_on, a.trip.end_on),
            "nights": len(a.chance.p_each),
            "bed": a.bedding.rated_name,
            "low": min(n.normal_low_c for n in a.outlook.nights),
            "each": said.small_percent(max(a.chance.p_each)),
            "any": said.small_percent(a.chance.p_any),
            "range": f"{said.small_percent(a.chance.p_any_low)} to {percent(a.chance.p_any_high)}",
        }
        for a in trips
        if a.chance is not None and a.bedding is not None
        and not isinstance(a.outlook, NoStation)
    ]  # fmt: skip
    columns = (
        text("trip", "Trip"), text("when", "When"), whole("nights", "Nights"),
        text("bed", "Sleeping in"), measured("low", "Coldest usual low", scale),
        _right("each", "Worst single night"), _right("any", "Any night too cold"),
        _right("range", "90 % range"),
    )  # fmt: skip
    return Table.of(columns, rows, "trip")
