"""The tables of limits and of sleep sets on trips to come."""

from collections.abc import Sequence

from ..display.tables import Column, Table, decimal, measured, table_of, text, whole, yes_no
from ..display.words import Display, days, listing, one_in, small_mass, temperature_scale
from .limit import ColdLimit
from .trips import ColdAhead, SetAhead
from .words import percent_range

_BASIS = {"own": "Your nights", "rated": "Its rating"}


def limit_table(limits: Sequence[ColdLimit], display: Display) -> Table:
    """A row a sleep system."""
    scale = temperature_scale(display, 0)
    return table_of(
        "sleep system",
        limits,
        (text("system", "Sleep system"), lambda limit: listing(limit.system.names)),
        (measured("rated", "Rated", scale), lambda limit: limit.system.rated_low_c),
        (text("as", "Rating"), lambda limit: limit.system.rated_as.capitalize()),
        (measured("same", "As a limit", scale), lambda limit: limit.system.as_limit_c),
        (measured("own", "Own limit", scale), lambda limit: limit.own_limit_c.value),
        (
            Column("interval", "90 % interval", scale.unit, "right"),
            lambda limit: (
                f"{scale.number(limit.own_limit_c.low)} to {scale.number(limit.own_limit_c.high)}"
            ),
        ),
        (whole("nights", "Judged nights"), lambda limit: limit.nights),
        (whole("cold", "Too cold"), lambda limit: limit.cold_nights),
        (measured("coldest", "Coldest", scale), lambda limit: limit.coldest_c),
        (
            decimal("removed", "Uncertainty removed", "%", 0),
            lambda limit: 100 * (1 - limit.prior_share),
        ),
    )


def sets_table(trips: Sequence[ColdAhead], display: Display) -> Table:
    """A row a trip and sleep set: what is on its list, and every set that is owned."""
    table = table_of(
        "sleep set",
        [one for ahead in trips for one in (*_on_the_list(ahead), *ahead.sets)],
        (text("set", "Sleep set"), lambda one: listing(one.limit.system.names)),
        (
            text("trip", "Trip"),
            lambda one: f"{one.trip.title}, {days(one.trip.start_on, one.trip.end_on)}",
        ),
        (measured("weight", "Weight", small_mass(display)), lambda one: one.weight_g),
        (
            measured("limit", "Your limit in it", temperature_scale(display, 0)),
            lambda one: one.limit.own_limit_c.value,
        ),
        (text("basis", "Rests on"), lambda one: _BASIS[one.limit.basis]),
        (
            Column("any", "A night too cold", align="right"),
            lambda one: one.chance and one_in(one.chance.p_any.value),
        ),
        (
            Column("range", "90 % range", align="right"),
            lambda one: one.chance and percent_range(one.chance.p_any),
        ),
        (yes_no("listed", "On the list"), lambda one: one.on_list),
        caption="Sleep sets that you own",
    )
    return table if len(trips) > 1 else table.without("trip")


def _on_the_list(ahead: ColdAhead) -> list[SetAhead]:
    """What is on a trip's list, where that is no set that is owned."""
    owned = {one.limit.system.items for one in ahead.sets}
    if ahead.bedding is None or ahead.limit is None or ahead.bedding.items in owned:
        return []
    return [SetAhead(ahead.trip, ahead.limit, None, ahead.chance, on_list=True)]
