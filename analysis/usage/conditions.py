"""How likely the next trip is to bring what a thing is meant for: wet, cold, bugs, ...

From the log: the share of the looked-back-on trips that brought it, of those of which it is known.
Of cold, climate normals tell instead where trips to come are named (`cold_odds`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from ..stats.estimate import Estimate
from ..store.rows import Store, ask

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

TripKind = Literal["dry_warm", "wet", "cold"]
TRIP_KINDS: tuple[TripKind, ...] = ("dry_warm", "wet", "cold")
"""Kinds of trip: neither wet nor cold; wet, but not cold; cold, but not wet."""
ColdOdds = Callable[[float], Estimate]
"""P(the next trip has a night under so many °C), and the range it is taken to lie in. Where normals
of the places to be visited are at hand, such a function takes the place of what the log says of
cold."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a thing is meant for; no words: any weather. ``cold_below_c`` in °C, of cold only."""

    words: frozenset[str] = frozenset()
    cold_below_c: float | None = None

    @classmethod
    def of(cls, meant_for: Sequence[str], cold_below_c: float | None) -> "Meaning":
        """As gear.csv has it."""
        if "any" in meant_for or not meant_for:
            return cls()
        words = frozenset(meant_for)
        return cls(words, cold_below_c if "cold" in words else None)


@dataclass(frozen=True, slots=True)
class Seen:
    """On how many trips it is known whether something came about, and on how many it did."""

    known: int
    met: int

    @property
    def chance(self) -> float:
        """Posterior mean under Jeffreys' prior; 1, to be safe, where nothing is known."""
        return (self.met + 0.5) / (self.known + 1) if self.known else 1.0

    def draw(self, rng: "np.random.Generator", size: int) -> "NDArray[np.float64]":
        """Draws from that posterior."""
        import numpy as np

        if not self.known:
            return np.ones(size)
        return rng.beta(self.met + 0.5, self.known - self.met + 0.5, size)


@dataclass(frozen=True, slots=True)
class Occurrence:
    """How often a meaning came about: all of it, without cold, without wet and cold."""

    whole: Seen
    warm: Seen
    other: Seen


@dataclass(frozen=True)
class ConditionOdds:
    """What the log says of the next trip. ``cold_chance`` stands for the log where it is given."""

    seen: Mapping[Meaning, Occurrence]
    cold_chance: ColdOdds | None = None

    def chance(self, meaning: Meaning, kind: TripKind | None = None) -> float:
        """P(something that the thing is meant for comes about on the next trip), of that kind."""
        fixed, seen, cold = self._parts(meaning, kind)
        rest = seen.chance if seen is not None else 0.0
        return fixed if fixed is not None else 1 - (1 - cold.value) * (1 - rest)

    def draw(
        self, rng: "np.random.Generator", meaning: Meaning, size: int
    ) -> "NDArray[np.float64]":
        """Draws of the chance for a next trip of whatever kind.

        From the posterior of what the log tells; where normals tell of cold, from the triangle over
        their range that has its top at their chance.
        """
        import numpy as np

        fixed, seen, cold = self._parts(meaning, None)
        if fixed is not None:
            return np.full(size, fixed)
        rest = seen.draw(rng, size) if seen is not None else np.zeros(size)
        spread = cold.high > cold.low
        frost = rng.triangular(cold.low, cold.value, cold.high, size) if spread else cold.value
        drawn: NDArray[np.float64] = 1 - (1 - frost) * (1 - rest)
        return drawn

    def _parts(
        self, meaning: Meaning, kind: TripKind | None
    ) -> tuple[float | None, Seen | None, Estimate]:
        """A chance that is certain, or what is seen of it and the odds of cold beside that."""
        words = meaning.words
        if not words or (kind is not None and kind in words):
            return 1.0, None, _NONE
        occurred = self.seen.get(meaning, Occurrence(Seen(0, 0), Seen(0, 0), Seen(0, 0)))
        if kind is not None:
            return None, occurred.other if words - {"wet", "cold"} else None, _NONE
        below_c = meaning.cold_below_c
        if self.cold_chance is None or below_c is None:
            return None, occurred.whole, _NONE
        return None, occurred.warm if words - {"cold"} else None, self.cold_chance(below_c)


_NONE = Estimate(0.0, 0.0, 0.0)


def condition_odds(
    store: Store, trips: Sequence[str], cold_chance: ColdOdds | None = None
) -> ConditionOdds:
    """The outlook that these trips of the log give."""
    return ConditionOdds(
        {
            Meaning.of(row["meant_for"], row["cold_below_c"]): _occurrence(row)
            for row in ask(store, "usage/meant_counts", trips=list(trips))
        },
        cold_chance,
    )


def _occurrence(row: Mapping[str, Any]) -> Occurrence:
    return Occurrence(
        Seen(row["known"], row["met"]),
        Seen(row["warm_known"], row["warm_met"]),
        Seen(row["other_known"], row["other_met"]),
    )
