"""Invented campers of known comfort: logbooks drawn from a written truth, to calibrate against.

A logbook has 12 trips (or 40) of one to five scored days and 40 items, 12 of them comforts; an item
comes along on a trip with a chance of its own between .1 and .95. Scores are rounded and kept
within 1 to 5 where a world says so.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from tarebook.analysis.stats.score_model.grid import ComfortData
from tarebook.analysis.stats.score_model.points import CONTRAST_SHARES, CONTRASTS

Array = np.ndarray[Any, np.dtype[np.float64]]
ITEMS, COMFORTS = 40, 12


@dataclass(frozen=True)
class World:
    """How truth is drawn. ``contrast``: spread of comforts' gains and of the rest's, against tau;
    None draws it as the model's prior has it.

    ``fixed``: gains of -.5, 0, .5 and 1 by turns in place of drawn ones; ``nil``: all are 0.
    ``alike``: chance that an item follows its neighbour's packing; ``whole``: scores are whole.
    """

    name: str
    contrast: tuple[float, float] | None = None
    fixed: bool = False
    nil: bool = False
    alike: float = 0.0
    whole: bool = True


WORLDS = {
    world.name: world
    for world in (
        World("prior"),
        World("one spread", contrast=(1.0, 1.0)),
        World("comforts apart", contrast=(1.0, 0.1)),
        World("plain numbers", whole=False),
        World("correlated", alike=0.7),
        World("fixed truth", fixed=True),
        World("fixed and correlated", fixed=True, alike=0.7),
        World("nil", nil=True),
    )
}


@dataclass(frozen=True)
class Drawn:
    """A logbook's scored days and the true gains of its bundles."""

    data: ComfortData
    gains: Array


def draw(world: World, trips: int, rng: np.random.Generator) -> Drawn:
    """One logbook. Items that always travelled together are one bundle, its gain their sum."""
    tau, trip_sd = np.abs(rng.normal(0, 0.5, 2))
    noise = abs(rng.normal(0, 1.0))
    comforts = np.arange(ITEMS) < COMFORTS
    contrast = world.contrast or CONTRASTS[rng.choice(len(CONTRASTS), p=CONTRAST_SHARES)]
    gains = rng.normal(0, 1, ITEMS) * tau * np.where(comforts, *contrast)
    if world.fixed:
        gains = np.resize([-0.5, 0.0, 0.5, 1.0], ITEMS) * np.where(comforts, 1.0, 0.2)
        trip_sd, noise = 0.3, 0.6
    if world.nil:
        gains = np.zeros(ITEMS)
    days = rng.integers(1, 6, trips)
    of_trip = np.repeat(np.arange(trips), days)
    packed = rng.random((trips, ITEMS)) < rng.uniform(0.1, 0.95, ITEMS)
    follows = rng.random((trips, ITEMS)) < world.alike
    for item in range(1, ITEMS):
        packed[:, item] = np.where(follows[:, item], packed[:, item - 1], packed[:, item])
    covariates = np.stack(
        [rng.normal(1, 1, len(of_trip)), (rng.random(len(of_trip)) < 0.3).astype(float)], 1
    )
    values = (
        rng.normal(3.4, 0.5)
        + packed[of_trip].astype(float) @ gains
        - packed.mean() * gains.sum()
        + covariates @ rng.normal(0, 0.3, 2)
        + rng.normal(0, trip_sd, trips)[of_trip]
        + rng.normal(0, noise, len(of_trip))
    )
    scores = np.clip(np.floor(values + 0.5), 1, 5) if world.whole else values
    along, true, sizes, flags = bundled(packed[of_trip], gains, comforts)
    ends = (1.0, 5.0) if world.whole else None
    return Drawn(ComfortData(scores, of_trip, along, sizes, flags, covariates, ends), true)


def bundled(packed: Array, gains: Array, comforts: Array) -> tuple[Array, Array, Array, Array]:
    groups: dict[bytes, list[int]] = {}
    for item in range(packed.shape[1]):
        if packed[:, item].any() and not packed[:, item].all():
            groups.setdefault(packed[:, item].tobytes(), []).append(item)
    members = list(groups.values())
    return (
        np.stack([packed[:, m[0]].astype(float) for m in members], 1),
        np.array([gains[m].sum() for m in members]),
        np.array([float(len(m)) for m in members]),
        np.array([bool(comforts[m].all()) for m in members]),
    )


def a_logbook(days: int, things: int, seed: int = 1, *, at_ends: bool = True) -> ComfortData:
    """Scored days by threes, with more things than days; some scores at the ends, or none."""
    rng = np.random.default_rng(seed)
    of_trip = np.arange(days, dtype=np.intp) // 3
    packed = rng.random((days // 3 + 1, things)) < rng.uniform(0.2, 0.8, things)
    low, high = (1, 5) if at_ends else (2, 4)
    return ComfortData(
        np.clip(np.round(3.4 + rng.normal(0, 0.9, days)), low, high),
        of_trip,
        packed[of_trip].astype(float),
        rng.integers(1, 4, things).astype(float),
        np.arange(things) % 4 == 0,
        rng.normal(0, 1, (days, 3)),
        doubts=rng.random(things) * 0.1,
    )
