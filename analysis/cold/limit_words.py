"""Where no chance of cold is known: the limits of what is on a list and of what is at home."""

from ..climate.station_choice import NoStation
from ..display.words import Display, count, degrees, own_limit, quoted, temperature_scale
from .limit import ColdLimit
from .mild_words import milder
from .trips import ColdAhead, SetAhead
from .words import FEW_JUDGED, RATED_AS, span

_ONE_IN_FIVE = "at such a low, one night in five is too cold"


def limit_alone(limit: ColdLimit, display: Display, *, drawn: bool = False) -> str:
    """The limit in what is on a list, or ``drawn`` from like trips, and what it rests on."""
    bag = quoted([limit.system.rated_name])
    told = f"The limit in {bag} is {_limit(limit, display)}: {_ONE_IN_FIVE}."
    like = f"This plan has no list of its own, but like trips had {bag}. "
    return f"{like}{told}" if drawn else told


def limit_in_what_is_owned(best: SetAhead, display: Display) -> str:
    """The limit in the warmest set that is owned, of a plan without a list."""
    return (
        f"This plan has no list of its own. In {quoted(best.limit.system.names, at_most=4)}, the "
        f"warmest that you own, the limit is {_limit(best.limit, display)}: {_ONE_IN_FIVE}."
    )


def nights_not_known(ahead: ColdAhead) -> str:
    """That nobody knows how cold it will be there, and why; blank where a chance is known.

    Be it that in a set at home.
    """
    if ahead.chance is not None or any(one.chance is not None for one in ahead.sets):
        return ""
    if not isinstance(ahead.outlook, NoStation):
        why = "the normals there do not say how much single nights differ"
        return f"How cold its nights may get is not known, as {why}: look at the forecast."
    why = "no climate normals serve the place (tarebook normals says which file would)"
    if ahead.outlook.reason == "no_place":
        why = "the trip has no latitude and longitude"
    return f"How cold it will be there is not known, as {why}: look at the forecast."


def warmer_at_home(ahead: ColdAhead, display: Display) -> str:
    """The warmest set that is at home, with its limit; blank where none is warmer.

    Whether it is warmer than bedding without a rating is not said.
    """
    along = ahead.bedding.items if ahead.bedding is not None else ()
    home = [
        one.limit
        for one in ahead.sets
        if not (one.on_list or one.lacking or one.unmended)
        and one.limit.system.rated_item not in along
    ]
    best = min(home, key=lambda one: (one.own_limit_c.value, one.system.items), default=None)
    if best is None:
        return ""
    where = "" if ahead.drawn else ", and is not on the list"
    its, warmer = _limit(best, display), ""
    if ahead.limit is not None:
        if best.own_limit_c.value >= ahead.limit.own_limit_c.value:
            return ""
        warmer = " is warmer,"
    bag = quoted([best.system.rated_name])
    return f"Your own {bag}{warmer or ' has a rating,'} with a limit of {its}{where}."


def _limit(limit: ColdLimit, display: Display) -> str:
    """ "4.2 °C (very likely 2 to 6 °C) by 18 judged nights", "... by its maker’s rating"."""
    system, reach = limit.system, span(temperature_scale(display, 0), limit.own_limit_c)
    value = f"{own_limit(limit.own_limit_c.value, display)} (very likely {reach})"
    if limit.basis == "rated":
        rated = degrees(system.rated_low_c, display)
        by = f"{value} by its {RATED_AS[system.rated_as]} of {rated}"
        return f"{by} ({milder(limit, display)})" if limit.mild else by
    nights = count(limit.nights, "judged night")
    if limit.nights < FEW_JUDGED:
        return f"{value} by only {nights}, too early to say"
    return f"{value} by {nights}"
