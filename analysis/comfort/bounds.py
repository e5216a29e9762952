"""What can be judged at once: told from counts before the work, so that no machine runs out of it.

The work grows with the cube of the directions in which packing differed between the days
(`stats.score_model.span`), each at every point of the spreads; and with that of the days scored at
an end of the scale, where days are many by no more than the first power beyond the directions
(`stats.score_model.many`). What is held grows with days times bundles.
"""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from ...tripdata.errors import QuestionError
from ..display.words import count
from ..stats.score_model.many import work_at
from ..stats.score_model.narrow import PROFILED, ROUND
from ..stats.score_model.points import CONTRASTS, MANY, POINTS, nodes_of

if TYPE_CHECKING:
    from .days import AspectDays

MOST_WORK = 1.4e12
"""Multiplications: a minute of one processor, at the pace of 2,000 trips in `bench_size.py`."""
MOST_BYTES = 1.5e9
_DECOMPOSITIONS, _EIGEN = 24, 9
"""Of a matrix by contrast, and multiplications of one by cube of its side."""
_SWEEPS = 10
"""On the days at the ends of the scale, at each point."""
_ROUNDS, _END_ROUNDS = 10, 2
"""To the peak of many days with scores as plain numbers, and from there with the ends one-sided."""
_MATRICES = 48
"""Of effects or of days at an end, by themselves, held at once where days are many."""
_TABLES = 6
"""Of days by bundles, held at once beside one by contrast."""


@dataclass(frozen=True, slots=True)
class Size:
    """Days, bundles, directions in which days differ, fixed effects, days at an end, contrasts."""

    days: int
    bundles: int
    directions: int
    fixed: int
    at_end: int
    contrasts: int

    @property
    def work(self) -> float:
        """Multiplications."""
        r, m, w = self.directions, self.at_end, self.directions + self.fixed
        if self.days >= MANY:
            nodes = nodes_of(w, m)
            points = _END_ROUNDS * ROUND + 2 * PROFILED + nodes**2 * max(2, nodes - 1)
            ways = _ROUNDS * ROUND * w**3 / 6 + points * work_at(w, m)
            return float(self.contrasts * ways)
        point = 2 * w**3 + 2 * w**2 * m + 2 * w * m**2 + 4 * _SWEEPS * m**3
        each = _DECOMPOSITIONS * _EIGEN * r**3 + (POINTS * point if m else 0)
        return float(self.contrasts * each)

    @property
    def bytes_held(self) -> float:
        """At the most."""
        tables = (self.contrasts + _TABLES) * self.days * (self.bundles + self.fixed)
        if self.days < MANY:
            return 8.0 * (tables + 2 * self.contrasts * POINTS * self.bundles)
        w, m = self.directions + self.fixed, self.at_end
        points = nodes_of(w, m) ** 3
        squares = _MATRICES * w**2 + points * w**2 + 4 * min(w, m) ** 2
        return 8.0 * (tables + squares + 2 * self.contrasts * points * self.bundles)

    @property
    def can_be_judged(self) -> bool:
        """Whether a machine of today has it done in a minute."""
        return self.work <= MOST_WORK and self.bytes_held <= MOST_BYTES


def size_of(days: "AspectDays", first: int = 0) -> Size:
    """Counts of the days of an aspect, from the trip of that number on."""
    data = days.data
    chosen = data.trips >= first
    along, scores = data.along[chosen] > 0, data.scores[chosen]
    varies = along.any(0) & ~along.all(0)
    comforts = data.comforts[varies]
    different = len({row.tobytes() for row in np.packbits(along[:, varies], axis=1)})
    at_end = 0 if data.ends is None else int(np.isin(scores, data.ends).sum())
    bundles = int(varies.sum())
    return Size(
        len(scores),
        bundles,
        min(max(different - 1, 0), bundles),
        1 + data.covariates.shape[1],
        at_end,
        len(CONTRASTS) if comforts.any() and not comforts.all() else 1,
    )


def check_size(days: "AspectDays") -> None:
    """Raise QuestionError where there is more than can be judged at once, and say what to ask."""
    whole = size_of(days)
    if whole.can_be_judged:
        return
    nouns = ("night", "scored nights") if days.aspect == "sleep" else ("day", "scored days")
    much = f"{count(whole.days, *nouns)} with {count(whole.bundles, 'thing')} that came and went"
    raise QuestionError(
        f"the gains of comforts ({days.aspect}): {much} are more than can be worked out at once; "
        f"ask for fewer trips, e.g. --since {_since(days)}"
    )


def _since(days: "AspectDays") -> date:
    """A day from which on what is left can be judged."""
    fits, beyond = int(days.data.trips.max()), 0
    while fits - beyond > 1:
        middle = (fits + beyond) // 2
        if size_of(days, middle).can_be_judged:
            fits = middle
        else:
            beyond = middle
    return days.rows[int(np.flatnonzero(days.data.trips == fits)[0])][1]
