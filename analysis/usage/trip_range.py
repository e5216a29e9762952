"""What bounds a record: months, modes, lengths and lows; whether a trip to come lies inside."""

from dataclasses import dataclass
from typing import Literal

Outside = Literal["mode", "mode_not_noted", "month", "nights", "low", "low_not_known"]
"""How a trip to come lies outside of what a record has seen."""


@dataclass(frozen=True, slots=True)
class Range:
    """The trips that a record rests on.

    ``months`` (1 for January) that they touch; ``modes`` as far as noted; ``most_nights`` of any of
    them; ``lowest_c``: the coldest low measured. The latter two are missing where not known.
    """

    months: frozenset[int] = frozenset()
    modes: frozenset[str] = frozenset()
    most_nights: int | None = None
    lowest_c: float | None = None


NOTHING_SEEN = Range()


@dataclass(frozen=True, slots=True)
class TripToCome:
    """A trip that lies ahead. ``usual_low_c``: the lowest normal of its nights, where known."""

    trip: str
    title: str
    months: frozenset[int]
    mode: str | None
    nights: int
    usual_low_c: float | None


def months_of(bits: int) -> frozenset[int]:
    """The months of a number that has a bit for each, the lowest for January."""
    return frozenset(month for month in range(1, 13) if bits >> (month - 1) & 1)


def with_gaps(months: frozenset[int]) -> frozenset[int]:
    """The months, and each single one that both of its neighbours are among, round the year."""
    between = (m for m in range(1, 13) if {(m - 2) % 12 + 1, m % 12 + 1} <= months)
    return months.union(between)


def outside(seen: Range, trip: TripToCome) -> Outside | None:
    """How a trip lies outside of what was seen; None where it does not.

    A way of travelling that was not seen, or is not noted; a month more than one away from every
    month seen; more nights than any trip seen; a usual low under the coldest low seen, or either
    not known unless that month was seen.
    """
    if trip.mode is not None and trip.mode not in seen.modes:
        return "mode"
    near = {(month - 1 + step) % 12 + 1 for month in seen.months for step in (-1, 0, 1)}
    if not trip.months <= near:
        return "month"
    if seen.most_nights is None or trip.nights > seen.most_nights:
        return "nights"
    unknown = trip.usual_low_c is None or seen.lowest_c is None
    if unknown and not trip.months <= seen.months:
        return "low_not_known"
    known = trip.usual_low_c, seen.lowest_c
    if None not in known and (known[0] or 0.0) < (known[1] or 0.0):
        return "low"
    return "mode_not_noted" if trip.mode is None else None
