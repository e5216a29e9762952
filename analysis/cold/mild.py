"""What nights far from any limit leave of it: in what was slept in on mild nights, its rating.

A night that nobody could be cold on says little of colder ones, however many there are: the model
alone would draw a limit from them that lies below the rating and below every night slept.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..stats.arrays import Array
from .model import ColdFit, Weights
from .ratings import RATING_KINDS


@dataclass(frozen=True, slots=True, eq=False)
class _Apart:
    """The weights of a fit, but of some places no night says how far below it a limit lies.

    ``places``: the place of ``other``, the fit without a night, and how far above its rating, in
    degrees, the nights reached down. ``above_c``: the limit above the rating, by point.
    """

    weight: Weights
    other: Weights
    above_c: Array
    places: Mapping[int, tuple[int, float]]

    def __getitem__(self, place: int) -> Array:
        whole = self.weight[place]
        if place not in self.places:
            return whole
        at, margin_c = self.places[place]
        unslept = self.other[at]
        below = self.above_c.reshape(whole.shape) < margin_c
        share = whole[below].sum() / unslept[below].sum()
        return np.where(below, share * unslept, whole)


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
    fit: ColdFit,
    unslept: ColdFit,
    above_c: Array,
    kinds: Mapping[int, tuple[int, str]],
    mild: Mapping[int, float],
) -> tuple[ColdFit, dict[int, int]]:
    """The fit, in which mild nights say no more than that a limit is not above them.

    And by place whose limit goes by the rating the place of that in ``unslept``, the fit without a
    night. ``kinds``: by place of a set its rated thing and the kind of its rating; ``mild``: by
    place how far the coldest night lay above the rating, in degrees. What another set with a thing,
    or another thing, would have from mild nights alone is as theirs.
    """
    elsewhere = {place: (unslept.unslept_of(kinds[place][1]), c) for place, c in mild.items()}
    for thing, rated_as in set(kinds.values()):
        own = [place for place, (of, _) in kinds.items() if of == thing]
        if mild.keys() >= set(own):
            margin_c = min(mild[place] for place in own)
            elsewhere[fit.unslept_with(thing)] = unslept.unslept_of(rated_as), margin_c
    if mild and len(mild) == len(kinds):
        for rated_as in RATING_KINDS:
            at = fit.unslept_of(rated_as)
            elsewhere[at] = unslept.unslept_of(rated_as), min(mild.values())
    if elsewhere:
        apart = _Apart(fit.weight, unslept.weight, above_c, elsewhere)
        fit = replace(fit, weight=apart)
    return fit, {place: at for place, (at, _) in elsewhere.items()}
