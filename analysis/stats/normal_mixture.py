"""Quantiles and tail shares of mixtures of normal distributions, many of them at once."""

from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]
_STEPS = 60
_CLOSE = 1e-7  # of the largest standard deviation


def mixture_share_above(value: float, means: Array, sds: Array, weights: Array) -> Array:
    """P(x > value) for p mixtures; ``means`` and ``sds`` (k, p), ``weights`` (k) summing to 1."""
    from scipy.special import ndtr  # type: ignore[import-untyped]

    share: Array = weights @ ndtr((means - value) / sds)
    return share


def mixture_quantiles(tail: float, means: Array, sds: Array, weights: Array) -> Array:
    """The ``tail`` quantile of each of p mixtures; shapes as in `mixture_share_above`.

    Newton's steps, kept inside a bracket that shrinks with every one.
    """
    from scipy.special import ndtr, ndtri

    if means.shape[1] == 0:
        return np.empty(0)
    z = float(ndtri(tail))
    ends = means + z * sds
    low, high = ends.min(0), ends.max(0)
    centre = weights @ means
    spread = np.sqrt(weights @ (sds**2 + (means - centre) ** 2))
    at = np.clip(centre + z * spread, low, high)
    close = _CLOSE * np.maximum(sds.max(0), 1e-300)
    for _ in range(_STEPS):
        off = (at - means) / sds
        missed = weights @ ndtr(off) - tail
        slope = weights @ (np.exp(-0.5 * off**2) / sds) / np.sqrt(2 * np.pi)
        low, high = np.where(missed < 0, at, low), np.where(missed < 0, high, at)
        step = at - missed / np.maximum(slope, 1e-300)
        inside = (step > low) & (step < high)
        following = np.where(inside, step, (low + high) / 2)
        done = np.abs(following - at) < close
        at = following
        if done.all():
            break
    result: Array = at
    return result
