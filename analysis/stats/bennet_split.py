"""Where the change of mean base weight between two sets of trips went, exactly.

An item's part of a mean is share x pieces x weight of a piece. The symmetric split of the change of
such a product leaves no rest (T. L. Bennet 1920, J. R. Stat. Soc. 83:455, from memory): the change
of the share at the mean of pieces x weight, that of the pieces and that of the weight, each at the
mean of the others. Worked in fractions, so that the parts sum to the difference to the last digit.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

CAUSES = (
    "added",
    "dropped",
    "swapped",
    "more_often",
    "less_often",
    "quantity",
    "reweighed",
    "carried_otherwise",
)


@dataclass(frozen=True, slots=True)
class Held:
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
    items: Mapping[str, Held] = field(default_factory=dict)

    @property
    def mean_mg(self) -> Fraction:
        """Mean base weight in mg."""
        return Fraction(sum(held.mg for held in self.items.values()), self.trips)


@dataclass(frozen=True, slots=True)
class Part:
    """One item's part of the change under one cause, in mg.

    ``swap`` numbers what was exchanged for each other, from 1; None where the cause is another.
    """

    item: str
    cause: str
    mg: Fraction
    swap: int | None = None


def split(before: Side, after: Side, replaced: Iterable[tuple[str, str]]) -> list[Part]:
    """Every part that is not nothing, by item and cause; they sum to the change of the mean.

    ``replaced`` pairs an item with one that it took over from, over all gear, so that a chain is
    whole even where its middle never came along. What falls and what rises within such a chain is
    swapped as far as the one makes up for the other, counted in shares of trips. An item that came
    along otherwise as much more often as it was base less often was no swap.
    """
    names = sorted(before.items.keys() | after.items.keys())
    held = {i: (before.items.get(i, Held()), after.items.get(i, Held())) for i in names}
    shares = {i: _shares(*held[i], before.trips, after.trips) for i in names}
    swaps = _swapped({i: share.rest for i, share in shares.items()}, replaced)
    found = []
    for item in names:
        share, number = shares[item], swaps.get(item, (None, Fraction(0)))
        found += _parts(item, share, number, *held[item])
    return [part for part in found if part.mg]


@dataclass(frozen=True, slots=True)
class _Share:
    """Shares of trips as base; what of their change was only carried otherwise, and the rest."""

    old: Fraction
    new: Fraction
    otherwise: Fraction
    rest: Fraction


def _shares(old: Held, new: Held, trips_before: int, trips_after: int) -> _Share:
    was, now = Fraction(old.trips, trips_before), Fraction(new.trips, trips_after)
    change = now - was
    moved = Fraction(old.otherwise, trips_before) - Fraction(new.otherwise, trips_after)
    if change * moved <= 0:
        moved = Fraction(0)
    elif abs(moved) > abs(change):
        moved = change
    return _Share(was, now, moved, change - moved)


def _parts(
    item: str, share: _Share, swap: tuple[int | None, Fraction], old: Held, new: Held
) -> list[Part]:
    if not old.trips and not new.trips:
        return []
    old, new = old if old.trips else new, new if new.trips else old
    pieces = Fraction(old.pieces, old.trips), Fraction(new.pieces, new.trips)
    weight = Fraction(old.mg, old.pieces), Fraction(new.mg, new.pieces)
    load = (pieces[0] * weight[0] + pieces[1] * weight[1]) / 2
    number, swapped = swap
    mean_share = (share.old + share.new) / 2
    if not share.old or not share.new:
        plain = "added" if share.new else "dropped"
    else:
        plain = "more_often" if share.rest > 0 else "less_often"
    return [
        Part(item, "carried_otherwise", share.otherwise * load),
        Part(item, "swapped", share.rest * swapped * load, number),
        Part(item, plain, share.rest * (1 - swapped) * load),
        Part(item, "quantity", mean_share * (pieces[1] - pieces[0]) * sum(weight) / 2),
        Part(item, "reweighed", mean_share * sum(pieces) / 2 * (weight[1] - weight[0])),
    ]


def _swapped(
    changes: Mapping[str, Fraction], replaced: Iterable[tuple[str, str]]
) -> dict[str, tuple[int, Fraction]]:
    """For each item in a chain of replacements, its swap's number and the fraction swapped."""
    groups = _components(replaced)
    falls: dict[str, Fraction] = {}
    rises: dict[str, Fraction] = {}
    for item, change in changes.items():
        if item in groups and change:
            of = rises if change > 0 else falls
            of[groups[item]] = of.get(groups[item], Fraction(0)) + abs(change)
    numbers: dict[str, int] = {}
    found: dict[str, tuple[int, Fraction]] = {}
    for item, change in sorted(changes.items()):
        group = groups.get(item, "")
        if change and group in falls and group in rises:
            whole = rises[group] if change > 0 else falls[group]
            fraction = min(falls[group], rises[group]) / whole
            found[item] = numbers.setdefault(group, len(numbers) + 1), fraction
    return found


def _components(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The connected component of every item that stands in a pair, named by one of its items."""
    parent: dict[str, str] = {}

    def root(item: str) -> str:
        while parent.setdefault(item, item) != item:
            parent[item] = parent[parent[item]]
            item = parent[item]
        return item

    for one, other in pairs:
        parent[root(one)] = root(other)
    return {item: root(item) for item in list(parent)}


def shared_out(parts: Sequence[Fraction], total: int) -> list[int]:
    """Whole numbers near the parts that sum to a total less than one away from the parts' sum.

    Each part is rounded down or up; those with the largest remainders go up (largest remainder
    method, common practice), the earlier first where remainders are alike.
    """
    down = [part.numerator // part.denominator for part in parts]
    missing = total - sum(down)
    order = sorted(range(len(parts)), key=lambda i: (down[i] - parts[i], i))
    for place in order[:missing]:
        down[place] += 1
    return down


def rounded(value: Fraction) -> int:
    """The nearest whole number, halves up, so that equal remainders round alike."""
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)
