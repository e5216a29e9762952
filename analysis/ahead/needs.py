"""How much of each consumable a trip takes, from what was taken and brought home before it.

Used is what was taken less what came home, of all people of a trip, whoever carried it and from
whatever day. Where nothing came home the need was at least that; where it is not noted what came
home, or a row is not weighed, the trip is left out. What a person needs a day, or a night, is
fitted by `log_need`. Water is never among it, nor what is insurance: a reserve is not to be used.
"""

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import median
from typing import TYPE_CHECKING

from ..display.words import label
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from ..store.rows import Record, Store, ask
from .cans import Cans, cans_of, pieces_of
from .results import AMOUNT_STEP, Need, TripAhead
from .unlike import may_be_colder
from .used import PastUse, did_for_nine_in_ten, past_use, share_that_did, units_of

if TYPE_CHECKING:
    from ..stats.log_need import LogNeed

FOOD_G_A_DAY = 700.0
"""Dry food a person eats a day (common practice, no published source)."""
FUEL_G_A_NIGHT = 20.0
"""Gas a person burns a night with hot meals (common practice, no published source). 1 l of water
from 10 to 100 °C takes 377 kJ, which is 16.4 g at 46 MJ/kg and an efficiency of 50 % (constants
from memory): about a litre and a quarter."""
OWN_SPREAD = 1.0
"""On the logarithm, where nothing is common practice: nine in ten needs lie between a fifth and
five times of what the owner usually takes."""
FEWEST_KNOWN = 3
"""Known trips before anything is forecast of what has no common practice."""
_FAR_OFF = 4.5
"""What is usually taken is so many times more or less than common practice: it is something else.
Three standard deviations of the prior."""
_SHARES = (TAILS[0], 0.5, TAILS[1], 0.9)


@dataclass(frozen=True, slots=True)
class Consumption:
    """What a trip takes, and the names of what is on its list and too little known of to say.

    ``heavier_home``: names and titles of trips from which more came home than was taken;
    ``untouched``: of those from which several pieces came home as heavy as they went. ``by_night``
    has names of what is used by night and listed for a trip without one, ``unmarked`` of what came
    home weighed and is marked no consumable, so that nothing is worked out of it.
    """

    needs: tuple[Need, ...]
    too_few_trips: tuple[str, ...]
    heavier_home: tuple[tuple[str, str], ...]
    untouched: tuple[tuple[str, str], ...] = ()
    by_night: tuple[str, ...] = ()
    unmarked: tuple[str, ...] = ()


def needs_of(store: Store, ahead: TripAhead) -> tuple[Need, ...]:
    """The needs of `consumption_of`."""
    return consumption_of(store, ahead).needs


def consumption_of(store: Store, ahead: TripAhead) -> Consumption:
    """A system's need where it has several consumables, then those of its items.

    Sorted by system and item; of what is owned at the start or on the list. What has neither
    enough trips nor a common practice gets none.
    """
    items = ask(store, "ahead/consumables", trip=ahead.trip.trip)
    past = ask(store, "ahead/consumed", trip=ahead.trip.trip)
    needs: list[Need] = []
    too_few: list[str] = []
    by_night: list[str] = []
    for each in _asked(items, past):
        need = _need(each, ahead)
        if need is not None:
            needs.append(need)
        elif each.listed and each.item is not None:
            has_use = units_of(each.system, ahead.days, ahead.nights) > 0
            (too_few if has_use else by_night).append(each.name)
    heavier = [
        (row["name"], row["title"])
        for row in past
        if None not in (row["taken_mg"], row["left_mg"]) and row["left_mg"] > row["taken_mg"]
    ]
    untouched = [
        (row["name"], row["title"])
        for row in past
        if any(n > 1 and can.left_mg == can.full_mg for can, n in pieces_of(row))
    ]
    unmarked = ask(store, "ahead/home_unmarked", trip=ahead.trip.trip)
    return Consumption(
        tuple(needs),
        tuple(too_few),
        tuple(heavier),
        tuple(untouched),
        tuple(by_night),
        tuple(row["name"] for row in unmarked),
    )


def main_needs(
    store: Store, ahead: TripAhead, past: Sequence[Record], systems: Collection[str]
) -> tuple[Need, ...]:
    """Of each of these systems that of all its consumables together, or of its only one.

    As `needs_of`, for who asks of many trips: ``past`` has rows of ``ahead/consumed``, and of
    ``ahead`` neither way, like trips nor list are asked for.
    """
    chief: dict[str, _Consumable] = {}
    for each in _asked(ask(store, "ahead/consumables", trip=ahead.trip.trip), past):
        if each.system in systems:
            chief.setdefault(each.system, each)
    needs = (_need(each, ahead) for each in chief.values())
    return tuple(need for need in needs if need is not None)


@dataclass(frozen=True, slots=True)
class _Consumable:
    """What is asked for: an item, or a system's (``item`` missing) several items together."""

    system: str
    item: str | None
    name: str
    usual_g: float | None
    listed: bool
    list_g: float | None
    past: tuple[PastUse, ...]
    in_system: bool = False
    burns: bool = False


def _asked(items: Sequence[Record], past: Sequence[Record]) -> Iterable[_Consumable]:
    """A system with several consumables, counting those it had before, comes before its items."""
    for system, group in groupby(items, key=lambda row: row["system"]):
        rows = list(group)
        of_system = [row for row in past if row["system"] == system]
        # Of cook gear only what burns is added up: coffee does not heat, nor does gas keep awake.
        counted = [row for row in rows if row["fuel"] or system != "cook"]
        names = {row["item"] for row in counted}
        together = [row for row in of_system if system != "cook" or row["item"] in names]
        several = len(names.union(row["item"] for row in together)) > 1
        usual_g = {"food": FOOD_G_A_DAY, "cook": FUEL_G_A_NIGHT}.get(system)
        on_list = {row["item"]: _list_g(row, of_system) for row in rows}
        if several:
            listed = [row for row in counted if row["listed"]]
            weights = [on_list[row["item"]] for row in listed]
            known = [g for g in weights if g is not None]
            whole = sum(known) if listed and len(known) == len(listed) else None
            yield _Consumable(
                system,
                None,
                label(system),
                usual_g,
                bool(listed),
                whole,
                _trips(together, cans_of(together, names if system == "cook" else ())),
                burns=system == "cook",
            )
        for row in rows:
            own = [each for each in of_system if each["item"] == row["item"]]
            # Of several fuels one may do all the cooking; parts of a day's food are unlike it.
            common = row["item"] in names and (not several or (row["fuel"] and bool(own)))
            yield _Consumable(
                system,
                row["item"],
                row["name"],
                usual_g if common else None,
                row["listed"],
                on_list[row["item"]],
                _trips(own, cans_of(own, [row["item"]] if row["fuel"] else ())),
                several and row["item"] in names,
                row["fuel"],
            )


def _list_g(row: Record, past: Sequence[Record]) -> float | None:
    """What the list has of it, in g: of fuel what can be burnt, at least.

    Of a can of which nothing tells what it weighs empty, what of it can be burnt is not known.
    """
    if row["list_mg"] is None or not row["fuel"]:
        return None if row["list_mg"] is None else row["list_mg"] / 1000
    known, burnt_mg = cans_of(past, [row["item"]]), 0
    for can in row["cans"]:
        empty = known.at_most_mg(row["item"], can["full_mg"])
        if empty is None:
            return None
        burnt_mg += can["pieces"] * max(0, can["full_mg"] - empty)
    return burnt_mg / 1000


def _trips(rows: Sequence[Record], cans: Cans) -> tuple[PastUse, ...]:
    """The rows of each trip together; of a day out nothing is used by night."""
    by_trip: dict[str, list[Record]] = {}
    for row in rows:
        by_trip.setdefault(row["trip"], []).append(row)
    return tuple(past for each in by_trip.values() if (past := past_use(each, cans)).units)


def _prior(each: _Consumable, trips: Sequence[PastUse]) -> tuple[float, float] | None:
    """The median a person and day or night before any trip is fitted, and its spread."""
    from ..stats.log_need import SPREAD

    usual = [past.taken_g / past.units for past in trips if past.taken_g is not None]
    packed = median(usual) if usual else None
    # Fuel is taken with its can, so that what is packed tells nothing of the need.
    trusted = packed is None or each.system != "food"
    if each.usual_g is not None and (
        trusted or 1 / _FAR_OFF < (packed or 0.0) / each.usual_g < _FAR_OFF
    ):
        return each.usual_g, SPREAD
    if packed is None or len(trips) < FEWEST_KNOWN:
        return None
    return packed, OWN_SPREAD


def _need(each: _Consumable, ahead: TripAhead) -> Need | None:
    """The forecast; None without a day or night to use it on, or with too little to go by."""
    units, people = units_of(each.system, ahead.days, ahead.nights), ahead.people
    trips = [past for past in each.past if past.usable]
    prior = _prior(each, trips) if units else None
    if prior is None:
        return None
    fit, shown_g = fitted(trips, prior, units, burns=each.burns)
    low, middle, high, generous = (people * amount for amount in fit.quantiles(_SHARES, units))
    chance = None if each.list_g is None else fit.chance(each.list_g / people, units)
    if chance is not None and generous < people * shown_g > (each.list_g or 0.0):
        chance = min(chance, share_that_did(trips, (each.list_g or 0.0) / people / units))
    generous = max(generous, people * shown_g)
    return Need(
        system=each.system,
        item=each.item,
        name=each.name,
        unit="g",
        days=units,
        amount=Estimate(middle, low, max(high, generous), LEVEL, fit.trips),
        take_for_9_in_10=math.ceil(generous / AMOUNT_STEP) * AMOUNT_STEP,
        on_list=each.list_g,
        chance_enough=chance,
        trips=fit.trips,
        used_up=fit.used_up,
        prior_share=fit.prior_share,
        in_system=each.in_system,
        with_can=any(past.with_can for past in trips),
        most_used=people * units * max((past.each_g for past in trips), default=0.0),
        outside=may_be_colder(ahead),
    )


def fitted(
    trips: Sequence[PastUse], prior: tuple[float, float], units: int, *, burns: bool
) -> tuple["LogNeed", float]:
    """The fit of trips, and the least, g a person, that is to be told as enough for nine in ten.

    ``prior``: median, g a person and day or night, and spread. Of what ``burns`` that least is what
    the trips' own weighings show. Where these show more than the fit has, or mostly burn more than
    common practice has for nine in ten, it is not theirs and would draw the fit down: what they
    usually burn takes its place, as uncertain.
    """
    fit = _fit(trips, prior)
    if not (burns and trips):
        return fit, 0.0
    shown_g = units * did_for_nine_in_ten(trips)
    usual_g = median(past.each_g for past in trips)
    beyond = usual_g > prior[0] and units * usual_g > _enough(_fit((), prior), units)
    if beyond or shown_g > _enough(fit, units):
        fit = _fit(trips, (usual_g, prior[1]))
    return fit, shown_g


def _enough(fit: "LogNeed", units: int) -> float:
    """What is enough on nine trips in ten, g a person."""
    return fit.quantiles([_SHARES[-1]], units)[0]


def _fit(trips: Sequence[PastUse], prior: tuple[float, float]) -> "LogNeed":
    from ..stats.log_need import log_need

    return log_need(
        [past.used_g or 0.0 for past in trips],
        [past.units for past in trips],
        [past.used_up for past in trips],
        centre=prior[0],
        spread=prior[1],
    )
