"""A trip that is over beside what was to be expected of it.

Nothing is stored: each forecast is made anew, from trips over before the start and the trip's own
list and way, as its page had it on the day it began.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from ...tripdata.contract import TOO_COLD_VOTE
from ...tripdata.names import folded
from ..stats.estimate import Estimate
from ..store.rows import Record, Store, ask
from ..store.trip_choice import TripChoice
from .cans import cans_of
from .energy import battery_ahead
from .forgotten import forgotten_of
from .needs import main_needs, needs_of
from .plan import trip_ahead
from .results import BatteryAhead, MayBeMissing, Need, TripAhead
from .used import past_use


@dataclass(frozen=True, slots=True)
class AmountAfter:
    """A consumable, a system of them, or a bike's energy: what was needed beside the forecast.

    Amounts in the unit of ``need``. ``taken`` and ``left`` are missing of energy. Where ``used_up``
    nothing came home, or little beside what matters, so that the need was at least ``used``.
    """

    need: Need
    used: float
    taken: float | None = None
    left: float | None = None
    used_up: bool = False

    @property
    def held(self) -> Literal["enough", "short", "open"]:
        """Whether the amount for nine in ten trips would have done; open where all was used up."""
        if self.used > self.need.take_for_9_in_10:
            return "short"
        return "open" if self.used_up else "enough"


@dataclass(frozen=True, slots=True)
class BatteryAfter:
    """An e-bike's days: ``most_wh`` on one of them, and whether that was more than is built in."""

    ahead: BatteryAhead
    days: int
    most_wh: float
    spare_needed: bool | None


@dataclass(frozen=True, slots=True)
class ColdAfter:
    """The chance of a too cold night beside the nights that came.

    ``judged`` of ``nights`` say how warm they felt, ``too_cold`` of them too cold. ``came`` is
    missing where none of them did and not all are judged.
    """

    p_any: Estimate
    nights: int
    judged: int
    too_cold: int

    @property
    def came(self) -> bool | None:
        """Whether a night was too cold."""
        return _came(self.nights, self.judged, self.too_cold)


@dataclass(frozen=True, slots=True)
class MissedAfter:
    """A thing that was missed on the trip, and the rank at which it would have been named."""

    name: str
    item: str | None
    rank: int | None


@dataclass(frozen=True, slots=True)
class Aftermath:
    """One trip beside its forecast; what was not expected or is not known is left out.

    ``named`` counts the things that would have been named as forgotten; missing where the trip has
    no list, or nothing was missed on it, so that nobody asked.
    """

    trip: TripChoice
    amounts: tuple[AmountAfter, ...]
    batteries: tuple[BatteryAfter, ...]
    cold: ColdAfter | None
    missed: tuple[MissedAfter, ...]
    named: int | None


def after_trip(store: Store, choice: TripChoice) -> Aftermath:
    """One trip that is over beside what was to be expected of it on the day it began."""
    ahead = trip_ahead(store, choice)
    batteries = _batteries(store, choice, ahead)
    missed, named = _missed(store, ahead)
    return Aftermath(
        choice,
        (*_amounts(store, ahead), *(amount for amount, _ in batteries)),
        tuple(battery for _, battery in batteries),
        cold_after(store, choice),
        missed,
        named,
    )


def amounts_alone(
    store: Store, choice: TripChoice, mine: Sequence[Record], before: Sequence[Record]
) -> tuple[AmountAfter, ...]:
    """The amounts of `after_trip` by system, at a fraction of its time.

    ``mine`` and ``before`` are rows of ``ahead/consumed``: the trip's, and of trips over before it.
    """
    return (*_main_amounts(store, choice, mine, before), *_energy(store, choice))


def _main_amounts(
    store: Store, choice: TripChoice, mine: Sequence[Record], before: Sequence[Record]
) -> Iterator[AmountAfter]:
    known = {row["system"] for row in mine} - {r["system"] for r in mine if r["left_mg"] is None}
    if not known:
        return
    people, days, nights = (mine[0][name] for name in ("people", "days", "nights"))
    ahead = TripAhead(choice, people, days, nights, (), "none", (), ())
    for need in main_needs(store, ahead, before, known):
        yield from _amount(need, mine, before, ahead.people)


def _energy(store: Store, choice: TripChoice) -> Iterator[AmountAfter]:
    if choice.mode in ("ebike", "mixed", None):
        for amount, _ in _batteries(store, choice, None):
            yield amount


def main_amounts(amounts: Sequence[AmountAfter]) -> tuple[AmountAfter, ...]:
    """One a system: of all of it where that is known, else of the consumable expected most of."""
    chief: dict[str, AmountAfter] = {}
    for amount in sorted(amounts, key=lambda each: -each.need.amount.value):
        if amount.need.item is None:
            chief[amount.need.system] = amount
        else:
            chief.setdefault(amount.need.system, amount)
    return tuple(each for each in amounts if each in chief.values())


def _amounts(store: Store, ahead: TripAhead) -> Iterator[AmountAfter]:
    every = ask(store, "ahead/consumed", trip=None)
    mine = [row for row in every if row["trip"] == ahead.trip.trip]
    if any(row["left_mg"] is not None for row in mine):
        before = ask(store, "ahead/consumed", trip=ahead.trip.trip)
        for need in needs_of(store, ahead):
            yield from _amount(need, mine, before, ahead.people)


def _amount(
    need: Need, mine: Sequence[Record], before: Sequence[Record], people: int
) -> Iterator[AmountAfter]:
    """The need beside what the trip's own rows of ``ahead/consumed`` say, if they do.

    ``before``: those of trips before it, which tell what a can weighs empty.
    """
    rows = [r for r in mine if r["system"] == need.system and need.item in (None, r["item"])]
    fuels = {row["item"] for row in rows} if need.system == "cook" else ()
    past = past_use(rows, cans_of((*before, *rows), fuels)) if rows else None
    if past is not None and past.taken_g is not None and past.used_g is not None:
        taken, used = people * past.taken_g, people * past.used_g
        yield AmountAfter(need, used, taken, taken - used, past.used_up)


def _batteries(
    store: Store, choice: TripChoice, ahead: TripAhead | None
) -> list[tuple[AmountAfter, BatteryAfter]]:
    """The trip's e-bike, where each day's energy is noted and one bike alone can have given it."""
    days = ask(store, "ahead/energy_noted", trip=choice.trip)
    noted = [row["battery_wh"] for row in days if row["battery_wh"] is not None]
    if not noted or len(noted) < len(days):
        return []
    forecasts = battery_ahead(store, trip_ahead(store, choice) if ahead is None else ahead)
    batteries = [each for each in forecasts if each.need is not None]
    if len(batteries) != 1:
        return []
    (battery,) = batteries
    assert battery.need is not None
    most = max(noted)
    over = None if battery.built_in_wh is None else most > battery.built_in_wh
    return [(AmountAfter(battery.need, sum(noted)), BatteryAfter(battery, len(noted), most, over))]


def cold_after(store: Store, choice: TripChoice) -> ColdAfter | None:
    """The chance of a too cold night forecast for a trip that is over, and how its nights felt."""
    nights, judged, too_cold = _felt(store, choice)
    if not judged:
        return None
    from ..cold.trips import cold_forecasts

    (forecast,) = cold_forecasts(store, (choice,), sets=False)
    if forecast.chance is None:
        return None
    return ColdAfter(forecast.chance.p_any, nights, judged, too_cold)


def too_cold_came(store: Store, choice: TripChoice) -> bool | None:
    """Whether a night of a trip was too cold; None where none was known to be and some may be."""
    return _came(*_felt(store, choice))


def _felt(store: Store, choice: TripChoice) -> tuple[int, int, int]:
    """How many nights it had, how many are judged, and how many of these were too cold."""
    felt = [row["warmth"] for row in ask(store, "ahead/nights_felt", trip=choice.trip)]
    judged = [warmth for warmth in felt if warmth is not None]
    return len(felt), len(judged), sum(warmth <= TOO_COLD_VOTE for warmth in judged)


def _came(nights: int, judged: int, too_cold: int) -> bool | None:
    if too_cold:
        return True
    return False if 0 < judged == nights else None


def _missed(store: Store, ahead: TripAhead) -> tuple[tuple[MissedAfter, ...], int | None]:
    """What was missed, and how many things would have been named."""
    rows = ask(store, "ahead/missed", trip=ahead.trip.trip)
    if not rows or not ahead.listed:
        return tuple(MissedAfter(row["name"], row["item"], None) for row in rows), None
    named = forgotten_of(store, ahead)
    return tuple(MissedAfter(row["name"], row["item"], _rank(named, row)) for row in rows), len(
        named
    )


def _rank(named: Sequence[MayBeMissing], row: Record) -> int | None:
    for each in named:
        same = each.item == row["item"] if row["item"] else folded(each.what) == folded(row["name"])
        if same:
            return each.rank
    return None
