"""Where the change of mean base weight between two sets of trips went, exactly.

An item's part of a mean is share x (pieces x weight of a piece). Both products are split as
`bennet_split` does, without a rest: the change of the share at the mean of pieces x weight, that
of the pieces and that of the weight, each at the mean of the others.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from ..stats.bennet_split import bennet_split
from ..stats.connected import components


@dataclass(frozen=True, slots=True)
class BaseLoad:
    """One item over a set of trips, of what weighs on me at the start.

    ``trips`` on which it is base, with ``pieces`` and ``mg`` summed over those. ``otherwise`` are
    trips on which it came along without being base: worn, as consumable, on the vehicle or with
    another.
    """

    trips: int = 0
    pieces: int = 0
    mg: int = 0
    otherwise: int = 0


@dataclass(frozen=True, slots=True)
class Side:
    """A set of trips: how many, and every item that came along on any of them."""

    trips: int
    items: Mapping[str, BaseLoad] = field(default_factory=dict)

    @property
    def mean_mg(self) -> Fraction:
        """Mean base weight in mg."""
        return Fraction(sum(held.mg for held in self.items.values()), self.trips)


@dataclass(frozen=True, slots=True)
class ChangePart:
    """One item's part of the change under one cause, in mg.

    ``swap`` numbers what was exchanged for each other, from 1; None where the cause is another.
    """

    item: str
    cause: str
    mg: Fraction
    swap: int | None = None


def split(before: Side, after: Side, replaced: Iterable[tuple[str, str]]) -> list[ChangePart]:
    """Every part that is not nothing, by item and cause; they sum to the change of the mean.

    ``replaced`` pairs an item with one that it took over from, over all gear, so that a chain is
    whole even where its middle never came along. What falls and what rises within such a chain is
    swapped as far as the one makes up for the other, counted in shares of trips. An item that came
    along otherwise as much more often as it was base less often was no swap.
    """
    names = sorted(before.items.keys() | after.items.keys())
    loads = {i: (before.items.get(i, BaseLoad()), after.items.get(i, BaseLoad())) for i in names}
    shares = {i: _shares(*loads[i], before.trips, after.trips) for i in names}
    swaps = _swapped({i: rest for i, (*_, rest) in shares.items() if rest}, replaced)
    parts = (_parts(i, shares[i], swaps.get(i, (None, Fraction(0))), *loads[i]) for i in names)
    return [part for of_item in parts for part in of_item if part.mg]


def _shares(
    old: BaseLoad, new: BaseLoad, trips_before: int, trips_after: int
) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Shares of trips as base; what of their change was only carried otherwise, and the rest."""
    was, now = Fraction(old.trips, trips_before), Fraction(new.trips, trips_after)
    change = now - was
    otherwise = Fraction(old.otherwise, trips_before) - Fraction(new.otherwise, trips_after)
    if change * otherwise <= 0:
        otherwise = Fraction(0)
    otherwise = min(otherwise, change, key=abs)
    return was, now, otherwise, change - otherwise


def _parts(
    item: str,
    shares: tuple[Fraction, Fraction, Fraction, Fraction],
    swap: tuple[int | None, Fraction],
    old: BaseLoad,
    new: BaseLoad,
) -> list[ChangePart]:
    if not old.trips and not new.trips:
        return []
    old, new = old if old.trips else new, new if new.trips else old
    sides = [(Fraction(x.pieces, x.trips), Fraction(x.mg, x.pieces)) for x in (old, new)]
    quantity, reweighed = bennet_split(*sides)
    load = (Fraction(old.mg, old.trips) + Fraction(new.mg, new.trips)) / 2
    (was, now, otherwise, rest), (number, swapped) = shares, swap
    if was and now:
        plain = "more_often" if rest > 0 else "less_often"
    else:
        plain = "added" if now else "dropped"
    return [
        ChangePart(item, "carried_otherwise", otherwise * load),
        ChangePart(item, "swapped", rest * swapped * load, number),
        ChangePart(item, plain, rest * (1 - swapped) * load),
        ChangePart(item, "quantity", (was + now) / 2 * quantity),
        ChangePart(item, "reweighed", (was + now) / 2 * reweighed),
    ]


def _swapped(
    changes: Mapping[str, Fraction], replaced: Iterable[tuple[str, str]]
) -> dict[str, tuple[int, Fraction]]:
    """For each item that was swapped, its swap's number and the fraction swapped.

    ``changes`` of share, none of them nothing, by item in the order in which swaps are numbered.
    """
    swaps: dict[str, tuple[int, Fraction]] = {}
    number = 0
    for chain in components(tuple(changes), replaced):
        up = sum((changes[i] for i in chain if changes[i] > 0), Fraction(0))
        down = -sum((changes[i] for i in chain if changes[i] < 0), Fraction(0))
        if up and down:
            number += 1
            for item in chain:
                whole = up if changes[item] > 0 else down
                swaps[item] = number, min(up, down) / whole
    return swaps
