"""Ratings of different kinds, brought to one scale before anything else is worked from them.

For one and the same bag a comfort rating stands about 5 °C above a limit rating (both of ISO
23537-1: a standard woman relaxed, a standard man curled up; the distance is from memory), makers'
own figures anywhere. The scale is the limit's: a limit rating stands as it is, a comfort rating is
put 5 °C lower, give or take 1, a maker's own 1 °C lower, give or take 4. How far comfort and limit
lie apart is a matter of the standard and shared by all things rated by comfort; makers differ, and
so every maker's figure has an error of its own.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class RatingKind:
    """A kind of rating: how far it stands above the limit scale, and how sure that is, in °C.

    ``shared_sd_c`` is one error for all things of the kind, ``own_sd_c`` one for each thing. Both
    are standard deviations.
    """

    shift_c: float
    shared_sd_c: float
    own_sd_c: float


MAKER = "maker"
RATING_KINDS: Mapping[str, RatingKind] = MappingProxyType(
    {
        "limit": RatingKind(0.0, 0.0, 0.0),
        "comfort": RatingKind(5.0, 1.0, 0.0),
        MAKER: RatingKind(1.0, 0.0, 4.0),
    }
)
"""The kinds, the scale's own first. `sql/marts/sleep_ratings.sql` has the same shifts."""


def kind_of(rated_as: str | None) -> str:
    """The kind of a figure; one that is blank is the maker's own."""
    return rated_as if rated_as is not None and rated_as in RATING_KINDS else MAKER


def as_limit_c(rated_low_c: float, rated_as: str | None) -> float:
    """A figure brought to the limit scale."""
    return rated_low_c - RATING_KINDS[kind_of(rated_as)].shift_c


def several(kinds: Iterable[str]) -> bool:
    """Whether these are figures of more than one kind."""
    return len({kind_of(kind) for kind in kinds}) > 1
