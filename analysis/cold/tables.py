"""The tables of limits and of sleep sets on trips to come."""

from collections.abc import Sequence
from typing import Any

from ..display.tables import Column, Table, decimal, measured, text, whole
from ..display.words import Display, days, listing, one_in, small_mass, temperature_scale
from .limit import ColdLimit
from .trips import ColdAhead, SetAhead
from .words import small_percent

_BASIS = {"own": "Your nights", "rated": "Its rating"}


def limit_table(limits: Sequence[ColdLimit], display: Display) -> Table:
    """A row a sleep system."""
    scale = temperature_scale(display, 0)
    rows = [
        {
            "system": listing(limit.system.names),
            "rated": limit.system.rated_low_c,
            "as": limit.system.rated_as.capitalize(),
            "same": limit.system.as_limit_c,
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
        text("system", "Sleep system"),
        measured("rated", "Rated", scale),
        text("as", "Rating"),
        measured("same", "As a limit", scale),
        measured("own", "Own limit", scale),
        Column("interval", "90 % interval", scale.unit, "right"),
        whole("nights", "Judged nights"),
        whole("cold", "Too cold"),
        measured("coldest", "Coldest", scale),
        decimal("told", "Uncertainty removed", "%", 0),
    )
    return Table.of(columns, rows, "sleep system")


def sets_table(trips: Sequence[ColdAhead], display: Display) -> Table:
    """A row a trip and sleep set: what is on its list, and every set that is owned."""
    rows: list[dict[str, Any]] = []
    for trip in trips:
        about = f"{trip.trip.title}, {days(trip.trip.start_on, trip.trip.end_on)}"
        listed = trip.bedding is not None and all(
            one.limit.system.items != trip.bedding.items for one in trip.sets
        )
        if listed and trip.limit is not None:
            own = SetAhead(trip.trip, trip.limit, None, trip.chance, on_list=True)
            rows.append(_row(about, own))
        rows += [_row(about, one) for one in trip.sets]
    scale = temperature_scale(display, 0)
    columns = [
        text("set", "Sleep set"),
        measured("weight", "Weight", small_mass(display)),
        measured("limit", "Your limit in it", scale),
        text("basis", "Rests on"),
        Column("any", "A night too cold", align="right"),
        Column("range", "90 % range", align="right"),
        text("listed", "On the list"),
    ]
    if len(trips) > 1:
        columns.insert(1, text("trip", "Trip"))
    return Table.of(columns, rows, "sleep set", caption="Sleep sets that you own")


def _row(about: str, one: SetAhead) -> dict[str, Any]:
    chance = one.chance
    return {
        "trip": about,
        "set": listing(one.limit.system.names),
        "weight": one.weight_g,
        "limit": one.limit.own_limit_c,
        "basis": _BASIS[one.limit.basis],
        "any": one_in(chance.p_any) if chance is not None else None,
        "range": f"{small_percent(chance.p_any_low)} to {small_percent(chance.p_any_high)}"
        if chance is not None
        else None,
        "listed": "yes" if one.on_list else "no",
    }
