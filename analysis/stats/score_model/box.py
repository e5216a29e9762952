"""Where, in three spreads, a posterior that is dear to evaluate has its weight; a rule for it."""

from collections.abc import Callable, Sequence

import numpy as np

from ..arrays import Array
from .grid import unit_rule

_LAYERS = 4
_ROUNDS = 4
_NEGLIGIBLE = 6.5  # log density below its peak: 3.6 standard deviations of a normal distribution

Bounds = tuple[float, float]


def shrink_to_posterior(
    log_density: Callable[[Array], Array], box: Sequence[Bounds], limits: Sequence[Bounds]
) -> list[Bounds]:
    """A box that holds all but a negligible part of the posterior, from a first guess.

    ``log_density`` takes points (j, d) and returns (j). The box grows where the density is not yet
    small at its side, never past ``limits``, and shrinks where it is.
    """
    sides = list(box)
    for _ in range(_ROUNDS):
        layers = [low + (high - low) * (np.arange(_LAYERS) + 0.5) / _LAYERS for low, high in sides]
        density = log_density(_product(layers)).reshape([_LAYERS] * len(layers))
        before = list(sides)
        for axis, places in enumerate(layers):
            others = tuple(a for a in range(len(layers)) if a != axis)
            sides[axis] = _cut(places, density.max(axis=others), sides[axis], limits[axis])
        if all(_alike(new, old) for new, old in zip(sides, before, strict=True)):
            break
    return sides


def product_rule(box: Sequence[Bounds], nodes: Sequence[int]) -> tuple[Array, Array]:
    """Points (j, d) and weights (j) of a product of Gauss-Legendre rules over a box."""
    places, weights = [], []
    for (low, high), n in zip(box, nodes, strict=True):
        at, share = unit_rule(n)
        places.append(low + (high - low) * at)
        weights.append((high - low) * share)
    return _product(places), np.prod(_product(weights), axis=1)


def _product(axes: Sequence[Array]) -> Array:
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, len(axes))


def _cut(places: Array, density: Array, bounds: Bounds, limits: Bounds) -> Bounds:
    """The sides of a box along one axis, half a layer beyond where the density is negligible."""
    step = places[1] - places[0]
    (likely,) = np.nonzero(density > density.max() - _NEGLIGIBLE)
    first, last = int(likely[0]), int(likely[-1])
    low = places[first] - step if first else bounds[0] - 2 * step * (bounds[0] > limits[0])
    high = places[last] + step if last < len(places) - 1 else bounds[1] + 2 * step
    return max(float(low), limits[0]), min(float(high), limits[1])


def _alike(new: Bounds, old: Bounds) -> bool:
    """Whether neither side moved by more than a fifth of the box."""
    reach = 0.2 * (old[1] - old[0])
    return abs(new[0] - old[0]) < reach and abs(new[1] - old[1]) < reach
