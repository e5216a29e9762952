"""Do warmth votes stand mostly on bad nights: limits worked from such votes come out too warm."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

from ..store.rows import Record

_WELL_ABOVE, _BY_CHANCE, _BAD_SCORE = 0.3, 0.05, 2


@dataclass(frozen=True, slots=True)
class Votes:
    """How many nights scored 1 or 2 there were and how many of them have a vote; of the others."""

    bad: int
    bad_voted: int
    other: int
    other_voted: int

    @property
    def mostly_on_bad_nights(self) -> bool:
        """Whether nights scored 1 or 2 were voted on much more often than the others.

        By 30 points of a hundred at least, and more than chance would make of it one time in
        twenty (Fisher's exact test, one-sided).
        """
        if not self.bad or not self.other:
            return False
        more = self.bad_voted / self.bad - self.other_voted / self.other
        return more >= _WELL_ABOVE and self._p_by_chance() < _BY_CHANCE

    def _p_by_chance(self) -> float:
        """Chance that at least so many of the votes fall on bad nights (hypergeometric)."""
        voted = self.bad_voted + self.other_voted
        ways = sum(
            comb(self.bad, on_bad) * comb(self.other, voted - on_bad)
            for on_bad in range(self.bad_voted, min(self.bad, voted) + 1)
        )
        return ways / comb(self.bad + self.other, voted)


def votes_of(rows: Sequence[Record]) -> Votes:
    """The votes of nights with a sleep score."""
    scored = [row for row in rows if row["sleep_score"] is not None]
    bad = [row["warmth"] is not None for row in scored if row["sleep_score"] <= _BAD_SCORE]
    other = [row["warmth"] is not None for row in scored if row["sleep_score"] > _BAD_SCORE]
    return Votes(len(bad), sum(bad), len(other), sum(other))
