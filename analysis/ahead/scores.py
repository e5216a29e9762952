"""How expectations held over the trips that are over, each forecast from those before it alone."""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from ..store.remember import remembered
from ..store.rows import Store, ask
from ..store.trip_choice import TripChoice
from .after import (
    Aftermath,
    AmountAfter,
    after_trip,
    amounts_alone,
    main_amounts,
    too_cold_came,
)

if TYPE_CHECKING:
    from datetime import date

_MOST_TRIPS = 40
"""Of so many trips at most it is told how chances of cold held."""
_MOST_SETS = 600
"""So many sleep sets at most are fitted for that, those of all trips together (some 7 ms each)."""


@dataclass(frozen=True, slots=True)
class AmountScore:
    """How often the amount for nine in ten trips was enough: of a system, or of a bike's energy.

    ``open_ended``: trips on which all was used up, so that they do not say. Forecasts without any
    earlier trip from which something came home are common practice's and are not counted.
    """

    system: str
    name: str
    unit: Literal["g", "Wh"]
    enough: int
    short: int
    open_ended: int

    @property
    def trips(self) -> int:
        """All trips with a forecast and a record."""
        return self.enough + self.short + self.open_ended


@dataclass(frozen=True, slots=True)
class ColdScore:
    """Chances of a too cold night against what came, over ``trips``; Brier 1950: 0 is perfect.

    ``usual_brier``: of who says on every trip the share of trips that had one, known only after.
    ``sd``: of the number that came, had the chances been right and trips apart from each other.
    ``latest_alone``: trips before these were not looked at.
    """

    trips: int
    came: int
    expected: float
    brier: float
    usual_brier: float
    sd: float
    latest_alone: bool = False


@dataclass(frozen=True, slots=True)
class MissedScore:
    """Of ``missed`` things owned and left at home so many ``named`` beforehand.

    ``names`` stood on the ``lists`` of the trips on which anything was missed.
    """

    missed: int
    named: int
    names: int
    lists: int


@dataclass(frozen=True, slots=True)
class Score:
    """How expectations held over the trips; a part without any trip is missing."""

    amounts: tuple[AmountScore, ...]
    cold: ColdScore | None
    missed: MissedScore | None


def score(store: Store, today: "date") -> Score:
    """Every trip that was over by ``today``, each from those before it."""
    every = [after_trip(store, choice) for choice in _over(store, today)]
    return Score(
        _amount_scores([each.amounts for each in every]),
        _cold_score([(e.cold.p_any.value, e.cold.came) for e in every if e.cold is not None]),
        _missed_score(every),
    )


@remembered
def amount_scores(store: Store, today: "date") -> tuple[AmountScore, ...]:
    """The amounts of `score` alone, at a fraction of its time."""
    rows = ask(store, "ahead/consumed", trip=None)
    trips = []
    for choice in _over(store, today):
        mine = [row for row in rows if row["trip"] == choice.trip]
        others = (row for row in rows if row["trip"] != choice.trip)
        before = [row for row in others if row["end_on"] <= choice.start_on]
        trips.append(amounts_alone(store, choice, mine, before))
    return _amount_scores(trips)


@remembered
def cold_score(store: Store, today: "date") -> ColdScore | None:
    """The chances of `score` alone, at a fraction of its time, of the latest trips.

    Each is worked out from all nights before it, and what that costs grows with the sleep sets
    slept in: of `_MOST_TRIPS` at most, and of fewer where there are many sets.
    """
    from ..cold.limit import sets_slept_in
    from ..cold.trips import chance_beforehand

    over = list(_over(store, today))
    most = min(_MOST_TRIPS, _MOST_SETS // max(1, sets_slept_in(store, today)))
    told = []
    for choice in over[-most:] if most else ():
        came = too_cold_came(store, choice)
        chance = None if came is None else chance_beforehand(store, choice)
        if chance is not None:
            told.append((chance, came))
    found = _cold_score(told)
    return found and replace(found, latest_alone=len(over) > most)


def _over(store: Store, today: "date") -> Iterator[TripChoice]:
    for row in ask(store, "store/trips_by_start"):
        if not row["plan"] and row["end_on"] <= today:
            yield TripChoice(**row)


def _amount_scores(trips: Sequence[Sequence[AmountAfter]]) -> tuple[AmountScore, ...]:
    by_system: dict[str, list[AmountAfter]] = defaultdict(list)
    for amounts in trips:
        for amount in main_amounts(amounts):
            # A forecast from no trip that tells what was enough is common practice's.
            if amount.need.tells:
                by_system[amount.need.system].append(amount)
    scores = []
    for system, mine in by_system.items():
        held = [amount.held for amount in mine]
        tally = (held.count(word) for word in ("enough", "short", "open"))
        scores.append(AmountScore(system, mine[-1].need.name, mine[-1].need.unit, *tally))
    return tuple(sorted(scores, key=lambda each: (each.unit != "g", each.system)))


def _cold_score(every: Sequence[tuple[float, bool | None]]) -> ColdScore | None:
    """Of chances and whether a night was too cold; where that is not known the trip is left out."""
    pairs = [(chance, came) for chance, came in every if came is not None]
    if not pairs:
        return None
    came = sum(bool(happened) for _, happened in pairs)
    share = came / len(pairs)
    return ColdScore(
        len(pairs),
        came,
        sum(chance for chance, _ in pairs),
        sum((chance - bool(happened)) ** 2 for chance, happened in pairs) / len(pairs),
        share * (1 - share),
        math.sqrt(sum(chance * (1 - chance) for chance, _ in pairs)),
    )


def _missed_score(every: Sequence[Aftermath]) -> MissedScore | None:
    listed = [each for each in every if each.named is not None]
    if not listed:
        return None
    missed = [one for each in listed for one in each.missed if one.item is not None]
    return MissedScore(
        len(missed),
        sum(one.rank is not None for one in missed),
        sum(each.named or 0 for each in listed),
        len(listed),
    )
