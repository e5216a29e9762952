"""What a can of fuel weighs empty, by what came home of such cans before.

A cartridge or bottle weighs with what it holds, and so does what comes home of it. What it weighs
empty is nowhere noted. What came home of a can at least as heavy is as much at least, so that the
least of it bounds what can be burnt; and what hardly weighs more than the least is an empty can.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..store.rows import Record

ALIKE_MG = 12_000
"""Empty cans come home with up to 8 g of gas that gives no flame, on scales of 1 to 5 g."""
LIGHT_ALIKE_MG = 2_000
"""Less than a can weighs is believed where two weigh that nearly the same."""
SAME_SIZE = 0.95
"""A can may be lighter by so much than another of its size: scales and fillings differ."""
LEAST_EMPTY, MOST_EMPTY = 0.3, 0.58
"""Empty cartridges weigh a third to somewhat over half of full ones (common practice, no published
source). What came home lighter than .3 of it is believed once it came home so twice."""


@dataclass(frozen=True, slots=True)
class Can:
    """One piece that came along: its weight full, and what of it came home."""

    full_mg: int
    left_mg: int

    @property
    def is_lighter_than_a_can(self) -> bool:
        """Whether less came home than a can weighs, also nothing."""
        return self.left_mg < LEAST_EMPTY * self.full_mg

    @property
    def is_far_down(self) -> bool:
        """Whether it may be empty."""
        return self.left_mg <= MOST_EMPTY * self.full_mg

    @property
    def alike_mg(self) -> int:
        """How much heavier another empty one may be."""
        return LIGHT_ALIKE_MG if self.is_lighter_than_a_can else ALIKE_MG

    def is_as_large(self, full_mg: int) -> bool:
        """Whether it weighed about as much as another."""
        return SAME_SIZE <= self.full_mg / full_mg <= 1 / SAME_SIZE


@dataclass(frozen=True, slots=True)
class Cans:
    """All cans of fuel that are known to have come home, by item."""

    of: Mapping[str, tuple[Can, ...]]

    def at_most_mg(self, item: str, full_mg: int) -> int | None:
        """What a can so heavy weighs empty, at most; None where nothing tells it."""
        # A lighter can tells nothing of a heavier one, which may be of another size.
        known = [can for can in self._came_home(item) if can.full_mg >= SAME_SIZE * full_mg]
        known = list(_without_slips(known))
        return known[0].left_mg if known else None

    def empty(self, item: str, full_mg: int) -> Can | None:
        """An empty can of that weight when full, where two such came home so light; else None."""
        size = [can for can in self._came_home(item) if can.is_as_large(full_mg)]
        return _least_of_two(_without_slips(size))

    def thrown_mg(self, item: str, full_mg: int) -> int:
        """What a can of which nothing came home weighed empty; 0 where that may be gas.

        Where several came home lighter than a can, they are weighed without it: two alike that are
        no lighter are then gas that came home, and what was used is not to be lessened by it.
        """
        empty = self.empty(item, full_mg)
        bare = sum(each.is_lighter_than_a_can for each in self._came_home(item)) > 1
        return 0 if empty is None or (bare and not empty.is_lighter_than_a_can) else empty.left_mg

    def is_empty(self, item: str, can: Can) -> bool:
        """Whether what came home may be an empty can.

        That is what weighs about as little as the least of two, of all or of its size. The least of
        all by itself counts as well, where it is far down: whether the gas did or not is then open.
        Where something came home lighter than a can, all may be weighed without it, or cans were
        thrown away: the least by itself says nothing there, nor, where two did, what is not as
        light to 2 g.
        """
        home = self._came_home(item)
        if not can.left_mg or not can.is_far_down or not home:
            return False
        least = _least_of_two(_without_slips(home))
        # One too light for a can is a slip; of several none may have been weighed with its can.
        bare = sum(each.is_lighter_than_a_can for each in home) > 1
        for empty in (least, self.empty(item, can.full_mg)):
            if empty is not None:
                most_mg = LIGHT_ALIKE_MG if bare else empty.alike_mg
                if 0 <= can.left_mg - empty.left_mg <= most_mg:
                    return True
        light = any(each.is_lighter_than_a_can for each in self.of.get(item, ()))
        return least is None and not light and can.left_mg == home[0].left_mg

    def _came_home(self, item: str) -> list[Can]:
        """All cans that came home no heavier than they went, the lightest first."""
        home = (can for can in self.of.get(item, ()) if 0 < can.left_mg <= can.full_mg)
        return sorted(home, key=lambda can: can.left_mg)


def _without_slips(home: Sequence[Can]) -> Sequence[Can]:
    """The cans without those too light to be believed, the lightest first."""
    while home and home[0].is_lighter_than_a_can and not _are_alike(home):
        home = home[1:]
    return home


def _least_of_two(home: Sequence[Can]) -> Can | None:
    """The least of which two came home, and that far down; else None."""
    return home[0] if _are_alike(home) and home[0].is_far_down else None


def _are_alike(home: Sequence[Can]) -> bool:
    """Whether the two lightest are about as light."""
    return len(home) > 1 and home[1].left_mg - home[0].left_mg <= home[0].alike_mg


NO_CANS = Cans({})


def pieces_of(row: Record) -> Iterator[tuple[Can, int]]:
    """What is known of each row of an item on a trip, a row of ``ahead/consumed``: can, pieces."""
    for each in row["cans"]:
        if each["full_mg"] is not None and each["left_mg"] is not None:
            yield Can(each["full_mg"], each["left_mg"]), each["pieces"]


def cans_of(rows: Iterable[Record], fuels: Iterable[str]) -> Cans:
    """The cans of these fuels, from rows of ``ahead/consumed``."""
    names = set(fuels)
    found: dict[str, list[Can]] = {}
    for row in rows:
        if row["item"] in names:
            found.setdefault(row["item"], []).extend(can for can, _ in pieces_of(row))
    return Cans({item: tuple(cans) for item, cans in found.items()})
