"""Sentences on how far the battery of a bike goes on a trip to come, and on its spare."""

import math

from ...display.thing_names import in_marks
from ...display.words import (
    SPACE,
    Display,
    count,
    distance_scale,
    listing,
    mass,
    number,
    one_in,
    quoted,
    sentence,
)
from ..before_trip import BeforeTrip
from ..results import BatteryAhead, TripAhead
from ..unlike import are_alike, nearest_not_like
from .amount_words import amount, amount_up, common_practice

_HARDLY = 0.05


def battery_sentences(battery: BatteryAhead, data: BeforeTrip, display: Display) -> tuple[str, ...]:
    """How far the built-in battery reaches, whether a spare is needed, what carrying it costs."""
    sentences, days_ahead = [], data.ahead.days
    wh = battery.built_in_wh
    own = f"the {number(wh)}{SPACE}Wh reach" if wh else "its battery reaches"
    if battery.reach_km is not None:
        scale = distance_scale(display, 0)
        reach = f"{number(math.floor(scale.value(battery.reach_km) or 0))}{SPACE}{scale.unit}"
        sentences.append(f"On nine such trips in ten {own} {reach} or more.")
    if battery.need is not None:
        take = amount(battery.need.take_for_9_in_10, battery.need, display)
        expected = amount(battery.need.amount.value, battery.need, display)
        sentences.append(
            f"This trip takes about {expected}, and no more than {take} on nine such trips in ten."
        )
    if battery.p_each_day is not None:
        sentences.append(lasts(battery, f"the battery of {in_marks(battery.name)}", days_ahead))
    sentences += _spare(battery, data, display)
    return tuple(sentences)


def _spare(battery: BatteryAhead, data: BeforeTrip, display: Display) -> list[str]:
    if not battery.spares:
        return []
    which = quoted([data.names[item] for item in battery.spares])
    sentences = []
    if battery.p_spare_needed is not None:
        needed = "is" if len(battery.spares) == 1 else "are"
        sentences.append(f"On the other such trips some day takes more, and {which} {needed} used.")
    costs = []
    if battery.spare_g is not None:
        costs.append(f"weighs {mass(battery.spare_g, display)}")
    if battery.carrying_wh is not None:
        costs.append(f"takes {number(battery.carrying_wh)}{SPACE}Wh to carry over the way")
    if costs:
        sentences.append(f"{which} {listing(costs)}.")
    return sentences


def lasts(battery: BatteryAhead, name: str, days_ahead: int) -> str:
    """How likely the built-in battery lasts, each day and without charging; it must be known.

    "Charged every night, it lasts every day on about 8 such trips in 10. Without charging it almost
    never lasts the whole trip."
    """
    if battery.p_each_day is None:
        raise ValueError("battery: expected one with a chance, got one without")
    if days_ahead == 1:
        return sentence(f"{name} {_likely(battery.p_each_day, 'lasts the day')}")
    each = f"Charged every night, {name} {_likely(battery.p_each_day, 'lasts every day')}."
    if battery.p_whole_trip is None:
        return each
    return f"{each} Without charging it {_likely(battery.p_whole_trip, 'lasts the whole trip')}."


def energy_in_short(battery: BatteryAhead, data: BeforeTrip, display: Display) -> str:
    """ "The whole trip takes 2260 Wh or less on nine such trips in ten; the list has ..."."""
    need = battery.need
    if need is None:
        return ""
    if not battery.logged_days:
        parts = [common_practice(need, display)]
    else:
        take = amount_up(need.take_for_9_in_10, need, display)
        parts = [f"The whole trip takes {take} or less on nine such trips in ten"]
    if need.on_list is not None and data.packing.source == "list":
        spares = data.packing.items.intersection(battery.spares)
        among = f", the {'spare' if len(spares) == 1 else 'spares'} among it" if spares else ""
        parts.append(f"the list has {amount(need.on_list, need, display)}{among}")
    return f"{'; '.join(parts)}."


def way_words(ahead: TripAhead, display: Display) -> str:
    """How far days of like trips were, which stand in where the trip's own are not noted.

    "Its days are 40 to 66 km; 12 days of 4 like trips were 38 to 71 km.", "Each day is taken as 52
    km: 12 days ..."; blank where no like trip has any.
    """
    like = ahead.like_days
    if like is None or ahead.way_from == "none":
        return ""
    middle = distance_scale(display, 0).text(like.middle_km)
    days = f"{count(like.days, 'day')} of {count(like.trips, 'like trip')}"
    were = f"{days} {'was' if like.days == 1 else 'were'}"
    far = _range((like.shortest_km, like.longest_km), display)
    first = {"like": f"Each day is taken as {middle}:", "own": f"{_own_days(ahead, display)};"}
    partly = f"Each day without a distance is taken as {middle}:"
    told = f"{first.get(ahead.way_from, partly)} {were} {far}."
    return told if are_alike(ahead.like, ahead.unlike) else nearest_not_like(told)


def _own_days(ahead: TripAhead, display: Display) -> str:
    far = [day.distance_km for day in ahead.way if day.distance_km]
    if not far:
        return "It has no way to go"
    which = "Its day is" if len(far) == 1 else "Its days are"
    return f"{which} {_range((min(far), max(far)), display)}"


def _range(ends_km: tuple[float, float], display: Display) -> str:
    """ "38 to 71 km", "52 km"."""
    scale = distance_scale(display, 0)
    low, high = map(scale.number, ends_km)
    return scale.text(ends_km[1]) if low == high else f"{low} to {scale.text(ends_km[1])}"


def _likely(chance: float, lasts: str) -> str:
    """ "lasts the day on about 7 such trips in 10", "almost never lasts the day"."""
    if chance < _HARDLY:
        return f"almost never {lasts}"
    if chance > 1 - _HARDLY:
        return f"{lasts} on almost every such trip"
    return f"{lasts} on {such_trips(chance)}"


def such_trips(chance: float) -> str:
    """ "about 7 such trips in 10", "about 1 such trip in 3"."""
    odds = one_in(chance)
    if odds.endswith(" in 10") and chance > 0.5:
        return odds.replace(" in 10", " such trips in 10")
    return odds.replace(" in ", " such trip in ", 1)
