"""What comforts have in common in coming along: a stand-in for ease that nobody wrote down.

If trips are easy in ways that no column shows, the comforts that go along on easy trips come along
together. Their common part then stands for that ease, beside the gains, as far as it is more than
accident; what it may miss, since not all of them follow ease alike, is left as doubt on each gain
(bias analysis: Greenland 2005, J. R. Stat. Soc. A 168: 267, from memory; the common part as a
substitute for what is not measured: Wang & Blei 2019, J. Am. Stat. Assoc. 114: 1574, from memory).
Comforts packed independently of each other have next to nothing in common, and lose next to
nothing.
"""

import math
from dataclasses import dataclass

import numpy as np

from ..stats.arrays import Array, Codes

_SLOPE_SD = 0.8
"""Beforehand, of what one standard deviation of ease that is not written down may be worth, in
points, were the common part nothing but ease."""
_RESIDUE = 0.25  # points by which ease may feign a gain, were a comfort's packing nothing else
_LONE = 0.3  # the same, in addition, of a lone comfort where nothing is written down
_EVEN = 0.1  # of weight for a comfort that seems to have nothing in common with the others
_MOSTLY = 0.5
_LEAST_TRIPS = 3
_NO_VARIANCE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Common:
    """The common part by day (n), the prior SD of its slope by SD, and the doubts left (j)."""

    part: Array
    slope_sd: float
    doubts: Array


def in_common(along: Array, codes: Codes, blank: float) -> Common | None:
    """What j comforts have in common, by trip; None where none differs between three trips.

    ``along`` (n, j): where each was; ``codes`` (n): numbers of the trips from 0; ``blank``: the
    share of ease that is not written down. Each counts by its correlation with the sum of the
    others; how far the sum is more than accident is Cronbach's alpha (1951, Psychometrika 16: 297),
    a standard error added, as few trips hide what there is.
    """
    trips = int(codes.max()) + 1
    means = np.zeros((trips, along.shape[1]))
    np.add.at(means, codes, along)
    means /= np.bincount(codes)[:, None]
    off = means - means.mean(0)
    own = (off**2).mean(0)
    varies = own > _NO_VARIANCE
    j = int(varies.sum())
    if j == 0 or trips < _LEAST_TRIPS:
        return None
    if j == 1:
        # Nothing to compare it with: what is written down of ease must do, or it is ease itself.
        slope_sd = _SLOPE_SD if blank > _MOSTLY else 0.0
        return Common((off @ varies)[codes], slope_sd, (_RESIDUE + _LONE * blank) * varies)
    link = _links(off, own, varies)
    weight = link + _EVEN * varies
    part = off @ weight
    alpha = j / (j - 1) * (1 - float(weight**2 @ own) / float((part**2).mean()))
    error = math.sqrt(2 * j / ((j - 1) * trips)) * (1 - alpha)
    sure = min(max(alpha + error, 0.0), 1.0)
    doubts = _RESIDUE * (1 + blank) * sure * np.minimum(link, 1.0)
    return Common(part[codes], _SLOPE_SD * sure, doubts)


def _links(off: Array, own: Array, varies: Array) -> Array:
    """Of each comfort, the correlation with the sum of the others; 0 where there is none."""
    cov = off.T @ off / len(off)
    total = cov.sum(0)
    others = np.sqrt(np.maximum(cov.sum() - 2 * total + own, _NO_VARIANCE))
    link = np.zeros(len(own))
    link[varies] = np.maximum((total - own) / others, 0)[varies] / np.sqrt(own[varies])
    return link
