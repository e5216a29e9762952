"""What nights far from any limit leave of it: in what was slept in on mild nights, its rating.

A night that nobody could be cold on says little of colder ones, however many there are: the model
alone would draw a limit from them that lies below the rating and below every night slept.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from ..stats.arrays import Array
from .model import ColdFit, Weights


@dataclass(frozen=True, slots=True, eq=False)
class _Apart:
    """The weights of a fit, but those of some places, which are of another one's."""

    weight: Weights
    other: Weights
    places: Mapping[int, int]

    def __getitem__(self, place: int) -> Array:
        elsewhere = self.places.get(place)
        return self.weight[place] if elsewhere is None else self.other[elsewhere]


def draws_on_mild_nights(
    limit_c: float, rating_alone_c: float, as_limit_c: float, coldest_c: float | None
) -> bool:
    """Whether a limit lies below every night slept, none of which was as cold as the rating.

    ``limit_c`` is by the nights, ``rating_alone_c`` what it would be without one. Never of a limit
    that the nights raised, nor of one that a night reached.
    """
    if coldest_c is None:
        return False
    return coldest_c > as_limit_c and limit_c < min(coldest_c, rating_alone_c)


def without_mild_nights(
    fit: ColdFit, unslept: ColdFit, kinds: Mapping[int, tuple[int, str]], mild: Collection[int]
) -> ColdFit:
    """The fit, in which the ``mild`` places are as ``unslept``, the fit without a night.

    ``kinds``: by place of a set its rated thing and the kind of its rating. What another set with a
    thing, or another thing, would have from mild nights alone is as without a night, too.
    """
    if not mild:
        return fit
    elsewhere = {place: unslept.unslept_of(kinds[place][1]) for place in mild}
    for thing, rated_as in set(kinds.values()):
        if all(place in mild for place, (of, _) in kinds.items() if of == thing):
            elsewhere[fit.unslept_with(thing)] = unslept.unslept_of(rated_as)
    if len(mild) == len(kinds):
        for rated_as in ("comfort", "limit", "maker"):
            elsewhere[fit.unslept_of(rated_as)] = unslept.unslept_of(rated_as)
    return replace(fit, weight=_Apart(fit.weight, unslept.weight, elsewhere))
