"""What is worked out of a trip to come. Masses in mg or g as named, energy in Wh, lengths in km."""

import math
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Literal

from ..stats.estimate import Estimate
from ..store.trip_choice import TripChoice
from ..usage.conditions import Meaning
from ..wear.unmended import Unmended

if TYPE_CHECKING:
    from .unlike import Unlike

_ANY_WEATHER = Meaning()


@dataclass(frozen=True, slots=True)
class LikeTrip:
    """A trip that was over before the one ahead begins, and how like it is.

    ``likeness`` is from 0 to 1: same way of travelling, season or usual low, length. Trips with 0
    are not among them. ``listed``: whether anything was noted as carried on it.
    """

    trip: str
    title: str
    start_on: date
    end_on: date
    mode: str | None
    nights: int
    usual_low_c: float | None
    listed: bool
    likeness: float


@dataclass(frozen=True, slots=True)
class DayAhead:
    """A day of the trip ahead and a way of travelling on it; what is not known is missing.

    ``from_like``: its distance and climbing are those of the middle day of like trips.
    """

    day: date
    mode: str | None
    distance_km: float | None
    ascent_m: float | None
    from_like: bool = False


@dataclass(frozen=True, slots=True)
class ListedThing:
    """A row of the trip's own list. ``weight_mg`` is of one piece, missing if not weighed."""

    item: str
    name: str
    system: str
    kit: str | None
    bag: str | None
    carried_as: str
    carried_by: str | None
    quantity: int
    weight_mg: int | None


@dataclass(frozen=True, slots=True)
class LikeDays:
    """How far one went on days of like trips: ``days`` with a distance on ``trips`` of them, km."""

    shortest_km: float
    middle_km: float
    longest_km: float
    days: int
    trips: int


@dataclass(frozen=True, slots=True)
class TripAhead:
    """The trip ahead, from its own rows and from trips over before its start.

    ``way``: a day each (two where it is noted by two ways of travelling), from its own distances
    ("own"), days of which nothing is noted taken from like trips ("partly") or else without a
    distance, else each day the median day of like trips ("like"), else without distances ("none").
    ``like``: the latest last. ``listed``: its own
    carried rows, of others' loads, too; empty where it has none. ``unlike``: how it lies outside of
    all trips before. ``like_days``: how far one went on days of like trips, where that is known.
    ``south``: it is south of the equator, as far as known.
    """

    trip: TripChoice
    people: int
    days: int
    nights: int
    way: tuple[DayAhead, ...]
    way_from: Literal["own", "partly", "like", "none"]
    like: tuple[LikeTrip, ...]
    listed: tuple[ListedThing, ...]
    unlike: "Unlike | None" = None
    like_days: LikeDays | None = None
    south: bool = False


NeedBasis = Literal["like", "before", "at_least", "practice"]
"""What an amount rests on: trips with a record, and the trip ahead lies among them; trips with a
record among which it does not lie by its time of year or its cold, so that amounts are theirs;
trips from none of which anything came home, so that each needed that much or more; common practice
alone, or a formula."""
AMOUNT_STEP = 10.0
"""What is to be taken is rounded up to so many g or Wh."""


@dataclass(frozen=True, slots=True)
class Need:
    """How much of a consumable (or of a battery's energy) the trip ahead takes.

    ``item`` is missing where it is a whole system's. ``unit`` is g or Wh; amounts are totals of the
    trip, for all its people. ``days``: the days or nights it is reckoned by. ``amount``: median, 5
    and 95 %. ``trips`` are those with a record of it, ``used_up`` those of them on which nothing
    came home, so that the need was at least what was taken. ``on_list`` and ``chance_enough`` are
    missing where the list has none of it or it is not weighed; of fuel only what can be burnt
    counts, and it is missing where its can's weight is not known. ``prior_share`` is the part of
    the answer that common practice has, from 0 to 1. ``in_system``: it is an item's, and counts in
    that of its system, too. ``with_can``: fuel of which on some trip nothing came home, so that an
    empty can weighed with it counts as burnt. ``most_used``: the most that any of the trips used a
    day, times its days. ``outside``: no trip before was at its time of year, or as cold.
    """

    system: str
    item: str | None
    name: str
    unit: Literal["g", "Wh"]
    days: int
    amount: Estimate
    take_for_9_in_10: float
    on_list: float | None
    chance_enough: float | None
    trips: int
    used_up: int
    prior_share: float
    in_system: bool = False
    with_can: bool = False
    most_used: float = 0.0
    outside: bool = False

    @property
    def tells(self) -> bool:
        """Whether any trip behind it tells what was enough: of what is all gone it is a least."""
        return self.trips > self.used_up

    @property
    def basis(self) -> NeedBasis:
        """What its amounts are: of such trips, or something less than that."""
        if not self.trips:
            return "practice"
        if not self.tells:
            return "at_least"
        return "before" if self.outside else "like"

    @property
    def at_least(self) -> float | None:
        """What is to be taken at least, rounded up to ten, where no share of such trips is known.

        Of ``at_least`` it was more, of ``before`` it may be.
        """
        least = {"at_least": self.most_used, "before": self.take_for_9_in_10}.get(self.basis)
        return None if least is None else math.ceil(least / AMOUNT_STEP) * AMOUNT_STEP


@dataclass(frozen=True, slots=True)
class BatteryAhead:
    """The case of an e-bike's batteries on the trip ahead.

    ``bike`` is the item that drives, ``built_in_wh`` the capacity of the battery that always comes,
    ``spares`` the others owned, on the list or not. ``reach_km``: how far the built-in one goes on
    the trip's climbing on 9 in 10 such trips. Chances are missing where no distance is known:
    ``p_each_day`` that the built-in one lasts each single day when charged every night,
    ``p_whole_trip`` that it lasts the trip without charging, ``p_spare_needed`` that some day needs
    more than it holds. ``spare_g`` and ``carrying_wh``: what the spares weigh and what carrying
    them over the trip's way costs. Of a trip of which some day's distance is not known, neither
    ``need`` nor any chance is told.
    """

    bike: str
    name: str
    need: Need | None
    built_in_wh: float | None
    spares: tuple[str, ...]
    reach_km: float | None
    p_each_day: float | None
    p_whole_trip: float | None
    p_spare_needed: float | None
    spare_g: float | None
    carrying_wh: float | None
    logged_days: int


Why = Literal[
    "like_trips", "system", "needed_by", "weather", "successor", "record", "missed", "wished"
]
"""Why a thing may be missing: like trips had it; its system is missing altogether; something on the
list needs it; it keeps warm or dry in weather that the trip likely brings; it took over from what
was given up; none like it was before, and nearly all trips had it; it was missed at home; it was
wished for and is not owned."""


@dataclass(frozen=True, slots=True)
class MayBeMissing:
    """A thing that the trip ahead may lack; ``why`` and ``reason`` (a sentence) say for what cause.

    ``item`` is missing, and the figures with it, where it is not owned. ``p_along``: chance that
    such a trip has it, missing where no trip before is like it, as is what rests on it;
    ``p_needed``: that it is then needed; ``expected_regret``: their product times what going
    without costs. ``lifeline``: the kind of which the list has nothing (shelter, ground, bedding,
    sleep, rain, light, water, first_aid, clothing, fire, food, navigation, safety; warm or dry:
    for weather that is likely), where that is why. ``broken``: how it failed before, where no
    repair is noted. ``system`` and ``meaning`` as gear.csv has them.
    """

    rank: int
    item: str | None
    what: str
    why: Why
    reason: str
    p_along: float | None
    p_needed: float | None
    expected_regret: float | None
    lifeline: str | None = None
    broken: Unmended | None = None
    system: str | None = None
    meaning: Meaning = _ANY_WEATHER
