"""How likely a too cold night is in a year to come, as it is and with a candidate."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

from .nights import BeddingSwap, SleptNight
from .results import ColdYear

if TYPE_CHECKING:
    from ..cold.camps import CampsOff
    from ..cold.limit import ColdLimits, SleepSystem


def cold_year(
    swap: BeddingSwap,
    nights: Sequence[SleptNight],
    limits: "ColdLimits",
    camps: "CampsOff | None" = None,
) -> ColdYear | None:
    """The year with each; ``nights`` are those of the last twelve months. None without normals.

    As on trips to come, nights are taken to be colder than normals where one's ``camps`` were.
    Normals of a date are the same a year on. A candidate rated no lower, on one scale, than what it
    replaces is not taken to make cold nights less likely: that what is owned sleeps colder than its
    rating says nothing of another thing.
    """
    by_trip: dict[str, list[SleptNight]] = defaultdict(list)
    for night in nights:
        by_trip[night.trip].append(night)
    known = {t: ns for t, ns in by_trip.items() if all(map(_foreseen, ns))}
    if not known:
        return None

    def now(night: SleptNight) -> "SleepSystem":
        system = night.system
        assert system is not None
        return system

    def then(night: SleptNight) -> "SleepSystem":
        system = swap.system(night) if swap.comes_along(night) else None
        return system if system is not None else now(night)

    warmer = any(then(n).as_limit_c < now(n).as_limit_c for ns in known.values() for n in ns)
    as_it_is, with_it = (_year(known.values(), system, limits, camps) for system in (now, then))
    return ColdYear(
        now=as_it_is,
        then=with_it if warmer else max(as_it_is, with_it),
        trips=len(known),
        nights=sum(map(len, known.values())),
        left_out=len(by_trip) - len(known),
    )


def _year(
    trips: Iterable[Sequence[SleptNight]],
    system: Callable[[SleptNight], "SleepSystem"],
    limits: "ColdLimits",
    camps: "CampsOff | None",
) -> float:
    """Trips in one sleep system share what is not known of it; systems are taken as independent."""
    from ..cold.chance import NightAhead, chance_by_point

    spared: dict[int, Any] = {}
    for nights in trips:
        first = system(nights[0])
        place = limits.place_of(first)
        ahead = [NightAhead(n.normal_low_c or 0.0, n.sd_c or 0.0, n.season) for n in nights]
        doubt_c = 0.0
        if camps is not None:
            ahead, doubt_c = camps.nights_as_there(ahead), camps.doubt_c
        none = 1 - chance_by_point(limits.fit, first.as_limit_c, ahead, doubt_c)
        spared[place] = spared.get(place, 1.0) * none
    chance = 1.0
    for place, none in spared.items():
        chance *= float((limits.fit.weight[place] * none).sum())
    return 1 - chance


def _foreseen(night: SleptNight) -> bool:
    return None not in (night.normal_low_c, night.sd_c, night.rated_c)
