"""What a trip before used of its consumables, as its own weighings have it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..store.rows import Record
from .cans import NO_CANS, Cans, pieces_of

BY_NIGHTS = ("cook", "fire", "light")
"""What is used evening by evening; all else goes by days."""
_MOSTLY, _LITTLE = 0.5, 0.1
_NINE_IN_TEN = 0.9


@dataclass(frozen=True, slots=True)
class PastUse:
    """What a trip used, g a person; ``taken_g`` and ``used_g`` are missing where not known.

    ``used_up``: the need was at least what was used. ``with_can``: what a can of fuel weighs empty
    may be among it, as nothing of it came home and no other trip tells that weight.
    """

    units: int
    taken_g: float | None
    used_g: float | None
    used_up: bool
    with_can: bool = False

    @property
    def usable(self) -> bool:
        """Whether a need can be read from it: it is known, and something was used."""
        return self.used_g is not None and self.used_g > 0

    @property
    def each_g(self) -> float:
        """What a person used a day, or night; 0 where that is not known."""
        return (self.used_g or 0.0) / self.units


def did_for_nine_in_ten(trips: Sequence[PastUse]) -> float:
    """The least of what was used, g a person and day or night, that did for nine in ten of trips.

    Of fewer than ten trips it is the most that any of them used; 0 without one. Where nothing came
    home the need was that at least.
    """
    each = sorted(past.each_g for past in trips)
    return each[math.ceil(_NINE_IN_TEN * len(each)) - 1] if each else 0.0


def share_that_did(trips: Sequence[PastUse], each_g: float) -> float:
    """The share of trips that used no more than that, g a person and day or night."""
    return sum(past.each_g <= each_g for past in trips) / len(trips)


def past_use(rows: Sequence[Record], cans: Cans = NO_CANS) -> PastUse:
    """What one trip used of these items; their rows of ``ahead/consumed``.

    ``cans`` tell which of them were used up, though a can came home.
    """
    taken, left = ([row[column] for row in rows] for column in ("taken_mg", "left_mg"))
    first = rows[0]
    people_mg = 1000 * first["people"]
    taken_g = None if None in taken else sum(taken) / people_mg
    known = taken_g is not None and None not in left
    known = known and all(rest <= each for each, rest in zip(taken, left, strict=True))
    thrown_mg = sum(_thrown_mg(row, cans) for row in rows) if known else 0
    return PastUse(
        units_of(first["system"], first["days"], first["nights"]),
        taken_g,
        (sum(taken) - sum(left) - thrown_mg) / people_mg if known else None,
        known and _used_up(taken, [_beside_its_cans(row, cans) for row in rows]),
        known and any(_has_its_can(row, cans) for row in rows),
    )


def _has_its_can(row: Record, cans: Cans) -> bool:
    """Whether of some can of fuel nothing came home, and what it weighed empty is not known."""
    gone = (can for can, _ in pieces_of(row) if not can.left_mg)
    return row["item"] in cans.of and any(not cans.thrown_mg(row["item"], c.full_mg) for c in gone)


def _thrown_mg(row: Record, cans: Cans) -> int:
    """What cans weighed of which nothing came home: they held no more than the rest."""
    thrown = [(can, pieces) for can, pieces in pieces_of(row) if not can.left_mg]
    return sum(n * cans.thrown_mg(row["item"], can.full_mg) for can, n in thrown)


def _beside_its_cans(row: Record, cans: Cans) -> int:
    """What of the row came home, in mg, without cans that may be empty."""
    every = pieces_of(row)
    return sum(n * can.left_mg for can, n in every if not cans.is_empty(row["item"], can))


def _used_up(taken: Sequence[int], left: Sequence[int]) -> bool:
    """Whether the need was at least what was used: nothing came home, or next to nothing.

    Of several things, the greater part of the weight was used up and what is left of the others is
    little: salt does not feed who has eaten all else, but a second cartridge does burn.
    """
    gone = sum(each for each, rest in zip(taken, left, strict=True) if not rest)
    return gone >= _MOSTLY * sum(taken) and sum(left) < _LITTLE * sum(taken)


def units_of(system: str, days: int, nights: int) -> int:
    """The days, or nights, by which a system's need goes."""
    return nights if system in BY_NIGHTS else days
