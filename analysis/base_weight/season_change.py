"""The change of mean base weight between two seasons or years, split into its causes."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

from ...tripdata.errors import QuestionError
from ...tripdata.names import guess, normalised, shown
from ..display.rounding import rounded, shared_out
from ..store.rows import Store, ask
from .change_parts import BaseLoad, ChangePart, Side, split
from .trip_weights import TripWeight, TripWeights


@dataclass(frozen=True, slots=True)
class Period:
    """A season with its year, such as "2026 summer", or a calendar year; its trips that count."""

    name: str
    trips: tuple[TripWeight, ...]


@dataclass(frozen=True, slots=True)
class SeasonChange:
    """The means of two periods and the parts of their difference, in mg.

    ``gear`` gives the name and system of every item in the parts.
    """

    before: Period
    after: Period
    before_mg: Fraction
    after_mg: Fraction
    parts: tuple[ChangePart, ...]
    gear: dict[str, tuple[str, str]]

    def whole_mg(self) -> list[int]:
        """The parts in whole milligrams that sum to the difference of the means as rounded."""
        total = rounded(self.after_mg) - rounded(self.before_mg)
        return shared_out([part.mg for part in self.parts], total)


def season_change(
    store: Store, weights: TripWeights, before: str = "", after: str = ""
) -> SeasonChange | None:
    """The change from one season or year to another.

    Blank text takes the last two seasons of the same name that both have trips; None where there
    are none such. Raises QuestionError where a named period has no trip, or only one is named and
    the other cannot be found.
    """
    chosen = _periods(weights.counted, before, after)
    if chosen is None:
        return None
    old, gear_old = _side(store, weights, chosen[0])
    new, gear_new = _side(store, weights, chosen[1])
    pairs = [(row["item"], row["replaced"]) for row in ask(store, "store/replaced")]
    parts = split(old, new, pairs)
    gear = gear_old | gear_new
    return SeasonChange(
        *chosen,
        old.mean_mg,
        new.mean_mg,
        tuple(parts),
        {part.item: gear[part.item] for part in parts},
    )


def _side(
    store: Store, weights: TripWeights, period: Period
) -> tuple[Side, dict[str, tuple[str, str]]]:
    trips, system = [t.trip for t in period.trips], weights.selection.system
    rows = ask(store, "base_weight/base_by_item", trips=trips, system=system)
    loads = {
        row["item"]: BaseLoad(row["trips"], row["pieces"], row["mg"], row["otherwise"])
        for row in rows
    }
    return Side(len(period.trips), loads), {r["item"]: (r["name"], r["system"]) for r in rows}


def _periods(trips: Sequence[TripWeight], before: str, after: str) -> tuple[Period, Period] | None:
    seasons, years = _by_kind(trips)
    if not before.strip() and not after.strip():
        pairs = [(_earlier(seasons, s), s) for s in seasons]
        return next(((old, new) for old, new in reversed(pairs) if old is not None), None)
    old = _named("from_season", before, seasons, years) if before.strip() else None
    new = _named("to_season", after, seasons, years) if after.strip() else None
    if old is not None and new is not None:
        if old.name == new.name:
            raise QuestionError(f"to_season: expected another one than before, got {new.name}")
        return old, new
    return _completed(seasons + years, old, new)


def _completed(
    periods: Sequence[Period], old: Period | None, new: Period | None
) -> tuple[Period, Period]:
    """Of two periods the one that is named, with the last of its kind before or after it."""
    if new is not None:
        old = _earlier(periods, new)
        if old is None:
            raise QuestionError(
                f"from_season: nothing like {new.name} has trips before it; name a period"
            )
        return old, new
    assert old is not None
    alike = [p for p in periods if _alike(p, old)]
    if alike[-1].name == old.name:
        raise QuestionError(f"to_season: nothing like {old.name} has trips after it; name a period")
    return old, alike[-1]


def _by_kind(trips: Sequence[TripWeight]) -> list[list[Period]]:
    """The seasons that have trips, and the years, each in the order of time."""
    kinds: list[dict[str, list[TripWeight]]] = [{}, {}]
    for trip in trips:
        for of_kind, name in zip(kinds, (trip.season, str(trip.start_on.year)), strict=True):
            of_kind.setdefault(name, []).append(trip)
    return [[Period(name, tuple(of)) for name, of in of_kind.items()] for of_kind in kinds]


def _alike(one: Period, other: Period) -> bool:
    """Whether both are years, or seasons of the same name."""
    return one.name.split()[1:] == other.name.split()[1:]


def _earlier(periods: Sequence[Period], period: Period) -> Period | None:
    """The last one of its kind before it."""
    alike = [p for p in periods if _alike(p, period)]
    place = [p.name for p in alike].index(period.name)
    return alike[place - 1] if place else None


def _named(option: str, text: str, *kinds: list[Period]) -> Period:
    periods = list(chain(*kinds))
    wanted = set(normalised(text).split("_"))
    period = next((p for p in periods if set(p.name.split()) == wanted), None)
    if period is not None:
        return period
    known = [p.name for p in periods]
    advice = guess(text, known, f"there are {', '.join(known) or 'none'}")
    latest = [shown(of_kind[-1].name) for of_kind in kinds if of_kind]
    example = f", e.g. {' or '.join(latest)}" if latest else ""
    raise QuestionError(
        f"{option}: expected a season or year with trips that count{example}, "
        f"got {shown(text)}; {advice}"
    )
