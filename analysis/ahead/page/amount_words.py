"""Sentences on how much a trip to come takes: food, fuel, a battery's energy."""

import math
from collections.abc import Sequence

from ...climate.outlook import Outlook
from ...display.thing_names import in_marks
from ...display.words import (
    SPACE,
    Display,
    count,
    label,
    large_mass,
    mass,
    mass_up,
    months,
    number,
    one_in,
    percent,
    small_mass,
)
from ..before_trip import BeforeTrip
from ..packing import PackedThing, Packing
from ..results import Need, TripAhead
from ..unlike import may_be_colder, months_on

NINE_IN_TEN = "enough on nine such trips in ten"
COLD_TAKES_MORE = (
    "Where it is colder than on the trips before, you eat more and burn more gas, and gas burns "
    "poorly in the cold (common practice, no published source)."
)
SNOW_TAKES_MORE = (
    "Water at the freezing point takes about a tenth more fuel than water at 10 °C, and water from "
    "snow twice as much: heating 1 kg from 10 to 100 °C takes 377 kJ, from 0 to 100 °C 419 kJ, and "
    "melting it 334 kJ more (constants from memory)."
)
_TAKE_MORE = "cold and melting snow take more"
_FROST_C = 0.0
_COLD_MONTHS = frozenset((11, 12, 1, 2, 3))
"""Months of frost north of the tropics, where no normals serve (common practice); half a year later
south of them."""
TOO_LITTLE = "too little by common practice"
CANNOT_TELL = "Your own record cannot tell yet"
_NOT_KNOWN = "How much would be enough is not known"
_ON_THIS = "on one like this is not known"
_HARDLY = 0.05
_AS_TOLD = 0.995
"""What is short of an amount by less than this is told as the same."""
_LEANING = 0.1
"""From here on the part that common practice has in an amount is told."""
_CERTAIN = 0.995
"""What is likelier is almost certain; the table of amounts has its number."""
_COARSE_WH = 100
"""From here on energy is told to ten Wh."""
_STEP = 10
_CAN_G = 0.5
"""By so much what is packed must be more than what can be burnt, to be told apart from it."""


def amount(value: float, need: Need, display: Display) -> str:
    """ "1.9 kg", "430 Wh"."""
    if need.unit == "g":
        return mass(value, display)
    return f"{number(round(value, -1) if value >= _COARSE_WH else value)}{SPACE}Wh"


def amount_up(value: float, need: Need, display: Display) -> str:
    """The same of what is to be taken: rounded up in the unit in which it is told."""
    if need.unit == "g":
        return mass_up(value, display)
    step = _STEP if value >= _COARSE_WH else 1
    return f"{number(math.ceil(round(value / step, 6)) * step)}{SPACE}Wh"


def amount_range(need: Need, display: Display) -> str:
    """ "1.1 to 2.3 kg": between which the need lies on nine trips in ten.

    Its ends are rounded outwards to ten, as what does for nine in ten is rounded up to ten: that
    then never lies above its own range.
    """
    low_end = math.floor(need.amount.low / _STEP) * _STEP or need.amount.low
    ends = (low_end, math.ceil(need.amount.high / _STEP) * _STEP)
    low, high = amount(ends[0], need, display), amount_up(ends[1], need, display)
    number_low, _, unit_low = low.rpartition(SPACE)
    _, _, unit_high = high.rpartition(SPACE)
    return f"{number_low if unit_low == unit_high else low} to {high}"


def per_day(need: Need, ahead: TripAhead, display: Display) -> str:
    """ "620 g per day", of one person; per night where it is counted by nights.

    Rounded down as it is shown: so many days of it never come to more than the whole that is told.
    """
    take = need.take_for_9_in_10 if need.at_least is None else need.at_least
    each = take / need.days / max(1, ahead.people)
    which = "night" if need.days == ahead.nights != ahead.days else "day"
    person = " and person" if ahead.people > 1 else ""
    return f"{_down(each, display)} per {which}{person}"


def _down(grams: float, display: Display) -> str:
    """A mass as `mass` tells it, rounded down."""
    small, large = small_mass(display), large_mass(display)
    scale = large if grams * small.factor >= (1000 if display.mass == "g" else 16) else small
    step = 10**scale.decimals
    least = math.floor(round(grams * scale.factor * step, 6)) / step / scale.factor
    # What rounds down to nothing is told as the least that is shown.
    return mass(least or 1 / step / scale.factor, display)


def need_name(need: Need) -> str:
    """What is needed: the thing's name, or its system where it is all of that."""
    if need.unit == "Wh":
        return f"Battery of {in_marks(need.name)}"
    return need.name if need.item is not None else f"{label(need.system)}, all together"


def need_named(need: Need) -> str:
    """The same in a sentence, where names of things stand in quotation marks."""
    of_thing = need.item is not None and need.unit == "g"
    return in_marks(need.name) if of_thing else need_name(need)


def is_cold(data: BeforeTrip) -> bool:
    """Whether nights of frost are usual there and then, or its months are cold ones."""
    outlook = data.cold.outlook
    nights = outlook.nights if isinstance(outlook, Outlook) else ()
    lows = [night.normal_low_c for night in nights if night.normal_low_c is not None]
    if lows:
        return min(lows) <= _FROST_C
    north = months_on(data.ahead)
    if data.ahead.south:
        north = frozenset((month + 5) % 12 + 1 for month in north)
    return not north.isdisjoint(_COLD_MONTHS)


def reserve(need: Need, data: BeforeTrip) -> str:
    """What an amount goes by where it may be colder: "going by trips in July; cold takes more".

    Where no trip tells of it and the trip is in the cold, that cold takes more; else blank.
    """
    if need.unit != "g" or need.system not in ("food", "cook"):
        return ""
    if need.basis in ("practice", "at_least"):
        return _TAKE_MORE if is_cold(data) else ""
    if data.ahead.unlike is None or not may_be_colder(data.ahead):
        return ""
    before = data.ahead.unlike.range.months
    known = bool(before) and not months_on(data.ahead) <= data.ahead.unlike.seasons
    which = f"trips in {months(before)}" if known else "milder trips"
    if data.ahead.unlike.seasons != before:
        which = "trips on the other side of the equator"
    return f"going by {which}; cold takes more"


def with_reserve(told: str, need: Need, data: BeforeTrip) -> str:
    """A sentence on an amount with what it goes by, where that may be too little in the cold."""
    more = reserve(need, data)
    join = ", " if need.tells else "; "
    return f"{told.removesuffix('.')}{join}{more}." if more else told


def need_sentence(need: Need, data: BeforeTrip, display: Display) -> str:
    """How much does for nine trips in ten, what the list has, and whether that is enough."""
    name = need_named(need)
    if need.basis == "practice":
        practice = common_practice(need, display, f" for {name}")
        first = f"{with_reserve(f'{practice}.', need, data)} {cannot_tell_amount(need)}"
    elif need.basis == "like":
        first = f"{name}: take {to_take(need, data.ahead, display)}, {nine_in_ten(need)}."
    else:
        take = f"{name}: take {to_take(need, data.ahead, display)}."
        first = f"{with_reserve(take, need, data)} {why_at_least(need)}"
    return " ".join((first, *on_the_list(need, data, display)))


def why_at_least(need: Need) -> str:
    """Why the record tells a least alone: it is of other trips, or nothing came home."""
    if need.basis == "at_least":
        return cannot_tell_amount(need)
    return (
        f"That was enough on nine in ten trips like those before ({count(need.trips, 'trip')}); "
        f"how often {_ON_THIS}."
    )


def least_alone(need: Need) -> str:
    """That of a least alone it is not known whether it is enough, as a clause."""
    if need.basis == "at_least":
        return f"{_NOT_KNOWN[:1].lower()}{_NOT_KNOWN[1:]}"
    return f"how often that is enough {_ON_THIS}"


def nine_in_ten(need: Need) -> str:
    """ "enough on nine such trips in ten, going by 9 trips"; of few `few_trips` says how many."""
    if few_trips(need):
        return NINE_IN_TEN
    return f"{NINE_IN_TEN}, going by {count(need.trips, 'trip')}"


def common_practice(need: Need, display: Display, for_what: str = "") -> str:
    """ "Common practice: about 3.5 kg, seldom over 7.8 kg", where no trip has a record of it.

    That is how people differ, not what would have been enough on trips of one's own.
    """
    who = "Common practice" if need.unit == "g" else "A formula"
    about = amount(need.amount.value, need, display)
    take = amount_up(need.take_for_9_in_10, need, display)
    return f"{who}{for_what}: about {about}, seldom over {take}"


def cannot_tell_amount(need: Need) -> str:
    """Why one's own record does not tell how much is enough."""
    if need.unit != "g":
        return f"{CANNOT_TELL}: no day says what the battery gave."
    if not need.trips:
        return f"{CANNOT_TELL}: no trip says what was taken and what came home."
    which = "your one trip" if need.trips == 1 else f"any of your {count(need.trips, 'trip')}"
    why = f"{_NOT_KNOWN}: nothing of it came home from {which}"
    if need.with_can:
        return (
            f"{why}. An empty can or bottle weighed with it counts as burnt here: weigh it empty "
            "after a trip and note that as what came home (brought_home in carried.csv)."
        )
    return f"{why}, so each took that much or more."


def to_take(need: Need, ahead: TripAhead, display: Display) -> str:
    """ "1.9 kg (620 g per day)": what is enough on nine such trips in ten.

    "at least 1.9 kg", "more than 1.9 kg" where that is not known.
    """
    each = ""
    if need.days > 1 and need.unit == "g":
        each = f" ({per_day(need, ahead, display)})"
    return f"{_take(need, display)}{each}"


def _take(need: Need, display: Display) -> str:
    if need.at_least is None:
        return amount_up(need.take_for_9_in_10, need, display)
    # With its can it was weighed as more than could be burnt.
    more = "more than" if need.basis == "at_least" and not need.with_can else "at least"
    return f"{more} {amount_up(need.at_least, need, display)}"


def take_cell(need: Need, display: Display) -> str:
    """The amount for nine in ten in a table; of common practice as `common_practice` has it."""
    take = _take(need, display)
    return f"seldom over {take}" if need.basis == "practice" else take


def few_trips(need: Need) -> tuple[str, ...]:
    """That common practice still has a part in the answer, where few trips tell of the need."""
    if not need.tells or need.prior_share < _LEANING:
        return ()
    return (
        f"Only {count(need.trips, 'trip')}; common practice still makes up "
        f"{percent(need.prior_share)} of this.",
    )


def on_the_list(need: Need, data: BeforeTrip, display: Display) -> tuple[str, ...]:
    """ "The list has 1.64 kg, which is enough on about 7 such trips in 10."; or nothing."""
    if need.on_list is None:
        return ()
    of_use = amount(need.on_list, need, display)
    whole_g = with_can_g(need, data.packing)
    if whole_g is not None:
        whole = amount(whole_g, need, display)
        done = "burnt" if need.item is not None else "used"
        has = f"The list has {whole} with can or bottle; {of_use} can be {done}"
    else:
        has = f"The list has {of_use}"
    if need.basis == "like":
        return (f"{has}, which is {enough(need)}.",)
    if need.at_least is not None:
        return (f"{has}, which is {_beside_least(need)}.",)
    if need.unit == "g" and not does(need):
        return (f"{has}, which may be {TOO_LITTLE}.",)
    return (f"{has}.",)


def _beside_least(need: Need) -> str:
    if not does(need):
        return "not more than that" if need.basis == "at_least" else "less"
    # Why that is not known stands before it.
    return "more" if need.basis == "at_least" else "no less"


def with_can_g(need: Need, packing: Packing) -> float | None:
    """What the list has of it as it is packed, with its can or bottle, in g.

    Missing if it is not weighed, or is no more than can be eaten or burnt.
    """
    of_it = [each.row_g for each in packing.things if is_row_of(need, each)]
    known = [g for g in of_it if g is not None]
    if need.unit != "g" or need.on_list is None or len(known) < len(of_it):
        return None
    return sum(known) if sum(known) - need.on_list > _CAN_G else None


def is_row_of(need: Need, each: PackedThing) -> bool:
    """Whether a row of the list is of what is needed."""
    of_system = each.thing.system == need.system and not each.insurance
    of_it = each.thing.item == need.item or (need.item is None and of_system)
    return each.thing.carried_as == "consumable" and of_it


def to_take_more(needs: Sequence[Need]) -> tuple[Need, ...]:
    """What is eaten or burnt of which the list has less than does, or nothing."""
    return tuple(
        need
        for need in needs
        if need.unit == "g" and not need.in_system and not does(need)
        if need.trips or need.on_list is not None
    )


def does(need: Need) -> bool:
    """Whether the list has what does for nine such trips in ten, as it is told: rounded up.

    Where that is not known, whether it has what is to be taken at least: more than trips took from
    which nothing came home.
    """
    if need.on_list is None:
        return False
    if need.basis == "at_least":
        return need.on_list > (need.at_least or 0.0)
    return need.on_list >= _AS_TOLD * need.take_for_9_in_10


def enough(need: Need) -> str:
    """How likely what is on the list does: "enough on about 71 such trips in 100".

    In hundred, since what is told to be taken does for nine in ten; what is short of that never
    rounds up to as much, nor what is enough down to less.
    """
    chance = need.chance_enough
    if chance is None:
        return "more than that" if (need.on_list or 0.0) >= need.take_for_9_in_10 else "less"
    if chance > _CERTAIN:
        return "almost certainly enough"
    if chance > 0.95:
        return f"almost certainly enough ({in_100(chance)} such trips)"
    if chance < 0.05:
        return "hardly ever enough"
    return f"enough on about {_hundred(need, chance)} such trips in 100"


def _hundred(need: Need, chance: float) -> int:
    return math.floor(100 * chance) if not does(need) else max(90, round(100 * chance))


def enough_in_100(need: Need, chance: float) -> str:
    """The same in a table: "about 71 in 100", the number that the sentence has."""
    if 0.05 <= chance <= 0.95:
        return f"about {_hundred(need, chance)} in 100"
    return in_100(chance)


def in_100(chance: float) -> str:
    """A chance with its number, also where it is almost certain: "about 97 in 100"."""
    if chance <= 0.95:
        return one_in(chance)
    return f"about {round(100 * chance)} in 100" if chance < 0.995 else "more than 99 in 100"


def to_buy(need: Need, packing: Packing, display: Display) -> str:
    """How much to have: "1.9 kg is enough on nine such trips in ten; the list has 1.64 kg".

    Of a can it says what can be burnt: it weighs more.
    """
    take = f"{amount_up(need.take_for_9_in_10, need, display)} is {NINE_IN_TEN}"
    if need.at_least is not None:
        take = f"{_take(need, display)}; {least_alone(need)}"
    if need.basis == "practice":
        # Of such trips of one's own nothing is known.
        practice = common_practice(need, display).partition(": ")[2]
        take = f"maybe {TOO_LITTLE}, without a trip of yours that tells: {practice}"
    if need.on_list is None:
        return take
    has = amount(need.on_list, need, display)
    if with_can_g(need, packing) is not None:
        return f"{take}; {has} of what the list has can be burnt"
    return f"{take}; the list has {has}"
