"""A list of gear, with what took over in the place of what was given up."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class GearThen:
    """A thing on some day. ``bought``: by then, or not known when; ``replaces``: by item."""

    item: str
    replaces: Sequence[str]
    given_up: bool
    bought: bool

    @property
    def at_hand(self) -> bool:
        """Whether it could come along."""
        return self.bought and not self.given_up


def with_successors(
    rows: Sequence[tuple[Any, ...]], gear: Sequence[GearThen]
) -> tuple[list[tuple[Any, ...]], dict[str, list[str]]]:
    """Rows whose first cell is the item, and what stands in for each thing that was given up.

    A successor gets the row of what it took over from, but for the weight (the third cell), unless
    it has one of its own. A thing without a successor is left out, with an empty list.
    """
    by_item = {each.item: each for each in gear}
    listed = {row[0] for row in rows if not by_item[row[0]].given_up}
    kept: list[tuple[Any, ...]] = []
    instead: dict[str, list[str]] = {}
    put_in: dict[str, str] = {}
    for row in rows:
        item = row[0]
        if not by_item[item].given_up:
            kept.append(row)
            continue
        heirs = instead.setdefault(item, _heirs(item, gear))
        for heir in heirs:
            # Several rows of one thing stay several; of two things that it took over from, one.
            if heir not in listed and put_in.setdefault(heir, item) == item:
                kept.append((heir, row[1], None, *row[3:]))
    return kept, instead


def _heirs(item: str, gear: Sequence[GearThen]) -> list[str]:
    """What is at hand of what took over from a thing, also by way of others given up since."""
    heirs: list[str] = []
    seen, left = {item}, [item]
    while left:
        old = left.pop(0)
        for each in gear:
            if old in each.replaces and each.item not in seen:
                seen.add(each.item)
                if each.at_hand:
                    heirs.append(each.item)
                else:
                    left.append(each.item)
    return heirs
