"""The tables of limits and of sleep sets on trips to come."""

from collections.abc import Sequence
from dataclasses import replace

from ..display.tables import Table, decimal, measured, right, text, whole, yes_no
from ..display.words import Display, days, listing, one_in, small_mass, temperature_scale
from .limit import ColdLimit
from .trips import ColdAhead, SetAhead
from .words import percent_range

_BASIS = {"own": "Your nights", "rated": "Its rating"}


def limit_table(limits: Sequence[ColdLimit], display: Display) -> Table:
    """A row a sleep system."""
    scale, tenths = temperature_scale(display, 0), temperature_scale(display)

    def interval(limit: ColdLimit) -> str:
        return f"{scale.number(limit.own_limit_c.low)} to {scale.number(limit.own_limit_c.high)}"

    columns = (
        text("system", "Sleep system", lambda limit: listing(limit.system.names)),
        measured("rated", "Rated", scale, of=lambda limit: limit.system.rated_low_c),
        text("as", "Rating", lambda limit: limit.system.rated_as.capitalize()),
        measured("same", "As a limit", scale, of=lambda limit: limit.system.as_limit_c),
        measured("limit", "Own limit", tenths, of=lambda limit: limit.own_limit_c.value),
        right("interval", "Very likely range", scale.unit, interval),
        whole("nights", "Judged nights"),
        whole("cold_nights", "Too cold"),
        measured("coldest_c", "Coldest", scale),
        decimal("own", "Uncertainty removed", "%", 0, lambda limit: 100 * (1 - limit.prior_share)),
    )
    return Table.of(columns, limits, "sleep system")


def sets_table(trips: Sequence[ColdAhead], display: Display) -> Table:
    """A row a trip and sleep set: what is on its list, and every set that is owned."""

    def trip(one: SetAhead) -> str:
        return f"{one.trip.title}, {days(one.trip.start_on, one.trip.end_on)}"

    limits = temperature_scale(display)
    sets = [one for ahead in trips for one in (*_on_the_list(ahead), *ahead.sets)]
    by_rating = any(one.limit.basis == "rated" for one in sets)
    heading = "Limit" if by_rating else "Your limit in it"
    columns = (
        text("set", "Sleep set", lambda one: listing(one.limit.system.names)),
        text("trip", "Trip", trip),
        measured("weight_g", "Weight", small_mass(display)),
        measured("limit", heading, limits, of=_limit),
        text("basis", "Rests on", _rests_on),
        right("any", "At least one night too cold", of=_too_cold),
        right("range", "Very likely range", of=_range),
        yes_no("on_list", "On the list"),
    )
    table = Table.of(columns, sets, "sleep set", caption="Sleep sets that you own", stacks=True)
    if len(trips) == 1:
        return table.without("trip")
    # A row is a set on a trip: of five rows, three may be sets.
    return replace(table, noun="line", caption="Sleep sets that you own, trip by trip")


def _too_cold(one: SetAhead) -> str | None:
    """The chance; none of what lacks a thing of the sets slept in, or is broken: that is colder."""
    if any(each.is_mat for each in one.lacking):
        return "no mat: no chance given"
    if one.lacking:
        return "not complete: no chance given"
    if one.unmended:
        return "not mended: no chance given"
    return None if one.told is None else one_in(one.told.p_any.value)


def _rests_on(one: SetAhead) -> str | None:
    """What its limit and chance rest on; of a set that is told neither, nothing."""
    return None if one.lacking or one.unmended else _BASIS[one.limit.basis]


def _limit(one: SetAhead) -> float | None:
    """The limit in it; of a set that lacks or is broken it would look warmer than it is."""
    return None if one.lacking or one.unmended else one.limit.own_limit_c.value


def _range(one: SetAhead) -> str | None:
    return None if one.told is None else percent_range(one.told.p_any)


def _on_the_list(ahead: ColdAhead) -> list[SetAhead]:
    """What is on a trip's list, where that is no set that is owned."""
    owned = {one.limit.system.items for one in ahead.sets}
    if ahead.bedding is None or ahead.limit is None or ahead.bedding.items in owned:
        return []
    return [
        SetAhead(
            trip=ahead.trip,
            limit=ahead.limit,
            weight_g=ahead.bedding_g,
            chance=ahead.chance,
            on_list=not ahead.drawn,
            lacking=ahead.lacking,
            unmended=ahead.unmended,
        )
    ]
