"""The trips of a logbook, and what they come to."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ..store.rows import Store, ask


@dataclass(frozen=True, slots=True)
class TripBack:
    """A trip that took place.

    ``low_c`` of its coldest night, ``base_g`` and ``distance_km`` are missing where they are not
    known; ``base_g`` is a lower bound where things that came along are ``unweighed`` or records of
    the trip could not be read (``set_aside``). ``note`` is the owner's own.
    """

    trip: str
    title: str
    start_on: date
    end_on: date
    nights: int
    season: str
    mode: str | None
    place: str | None
    note: str | None
    low_c: float | None
    base_g: float | None
    distance_km: float | None
    unweighed: int
    set_aside: int

    @property
    def at_least(self) -> bool:
        """Whether the base weight is at least that."""
        return self.unweighed > 0 or self.set_aside > 0


@dataclass(frozen=True, slots=True)
class Totals:
    """What the trips come to. ``distance_km`` is that of ``with_distance`` trips, None of none."""

    trips: int
    nights: int
    distance_km: float | None
    with_distance: int
    first: date | None


def trips_back(store: Store) -> tuple[TripBack, ...]:
    """The trips that took place, the latest last."""
    return tuple(TripBack(**row) for row in ask(store, "home/trips_back"))


def names_of_things(store: Store) -> list[str]:
    """Names of gear and candidates."""
    return [str(row["name"]) for row in ask(store, "home/names_of_things")]


def totals(trips: Sequence[TripBack]) -> Totals:
    """The sums over trips."""
    known = [each.distance_km for each in trips if each.distance_km is not None]
    return Totals(
        len(trips),
        sum(each.nights for each in trips),
        round(math.fsum(known), 6) if known else None,
        len(known),
        min((each.start_on for each in trips), default=None),
    )


def by_season(trips: Sequence[TripBack]) -> list[tuple[str, tuple[TripBack, ...]]]:
    """The trips by season, the latest first; a trip counts where it begins."""
    seasons: dict[str, list[TripBack]] = {}
    for each in reversed(trips):
        seasons.setdefault(each.season, []).append(each)
    return [(season, tuple(those)) for season, those in seasons.items()]
