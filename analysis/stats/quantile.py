"""Quantiles of mixtures and of weighted values, many at once."""

from collections.abc import Callable, Sequence

import numpy as np
from scipy.special import ndtr, ndtri  # type: ignore[import-untyped]

from .arrays import Array, Codes

_STEPS, _TINY = 100, 1e-300
_NEAR = 4


def mixture_quantiles(
    share: float | Array,
    below: Callable[[Array, Codes], tuple[Array, Array]],
    start: Array,
    bracket: tuple[Array | float, Array | float],
    close: float | Array,
) -> Array:
    """The points below which so large a share of each of m mixtures lies.

    ``below`` takes points and the places of their mixtures, and gives how much of each lies below
    and its density there. By Newton's steps from ``start`` (m) until one is less than ``close``,
    within a ``bracket`` that shrinks with every step and is halved where a step would leave it.
    """
    x = start.copy()
    low, high, wanted, enough = (
        np.broadcast_to(part, x.shape).astype(float) for part in (*bracket, share, close)
    )
    open_ = np.arange(len(x))
    for _ in range(_STEPS):
        if not len(open_):
            break
        at = x[open_]
        reached, slope = below(at, open_)
        gap = reached - wanted[open_]
        low[open_] = np.where(gap < 0, at, low[open_])
        high[open_] = np.where(gap < 0, high[open_], at)
        step = at - gap / np.maximum(slope, _TINY)
        inside = (step > low[open_]) & (step < high[open_])
        x[open_] = np.where(inside, step, (low[open_] + high[open_]) / 2)
        open_ = open_[np.abs(x[open_] - at) >= enough[open_]]
    return x


def normal_mixture_quantiles(tail: float, means: Array, sds: Array, weights: Array) -> Array:
    """Of p mixtures of normal laws: ``means`` and ``sds`` (k, p), ``weights`` (k) summing to 1."""
    if means.shape[1] == 0:
        return np.empty(0)

    def below(at: Array, which: Codes) -> tuple[Array, Array]:
        off = (at - means[:, which]) / sds[:, which]
        return weights @ ndtr(off), weights @ (normal_density(off) / sds[:, which])

    z = float(ndtri(tail))
    ends = means + z * sds
    centre = weights @ means
    spread = np.sqrt(weights @ (sds**2 + (means - centre) ** 2))
    start = np.clip(centre + z * spread, ends.min(0), ends.max(0))
    close = _CLOSE_SD * np.maximum(sds.max(0), _TINY)
    return mixture_quantiles(tail, below, start, (ends.min(0), ends.max(0)), close)


_CLOSE_SD = 1e-10  # of the largest standard deviation


def normal_density(z: Array) -> Array:
    """Density of the standard normal law."""
    density: Array = np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi)
    return density


def weighted_quantiles(
    values: Array, weight: Array, shares: Sequence[float], order: Codes | None = None
) -> list[float]:
    """Quantiles of values of some weight each, straight between their middles.

    ``order``: that of the values, rising, where it is known: for who asks with many weights.
    """
    order = np.argsort(values, kind="stable") if order is None else order
    weight = weight[order]
    reached = np.cumsum(weight)
    found = []
    for share in shares:
        # The middles on both sides of the share: no others bear on it.
        at = int(np.searchsorted(reached, share * reached[-1]))
        near = slice(max(0, at - _NEAR), at + _NEAR)
        middle = (reached[near] - weight[near] / 2) / reached[-1]
        found.append(float(np.interp(share, middle, values[order[near]])))
    return found
