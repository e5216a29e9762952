"""The few things to do that matter most, of all that waits to be done after the latest trip."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ..debrief.facts import debrief
from ..store.rows import Store
from ..wear.chores import Chore, from_tap

MOST_TO_DO = 5


@dataclass(frozen=True, slots=True)
class ToDo:
    """Something to do, for one thing or for several at once, of one kind of chore."""

    kind: str
    chores: tuple[Chore, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The things, each once."""
        return tuple(dict.fromkeys(chore.name for chore in self.chores))


def after_latest_trip(store: Store, trip: str, today: date) -> tuple[ToDo, ...]:
    """What to do after a trip, what matters most first; see `grouped`."""
    return grouped(debrief(store, trip, today).chores)


def grouped(chores: Sequence[Chore]) -> tuple[ToDo, ...]:
    """Chores as things to do: what is broken one by one, the worst first, all else by kind.

    Water comes from a tap, and is nothing to restock.
    """
    broken: dict[str, list[Chore]] = {}
    by_kind: dict[str, list[Chore]] = {}
    for chore in chores:
        if chore.kind == "mend":
            broken.setdefault(chore.item, []).append(chore)
        elif chore.kind != "restock" or not from_tap(chore):
            by_kind.setdefault(chore.kind, []).append(chore)
    order = ("try_out", "replenish", "check", "restock", "charge")
    mend = [ToDo("mend", tuple(each)) for each in broken.values()]
    return (*mend, *(ToDo(kind, tuple(by_kind[kind])) for kind in order if kind in by_kind))


def first_of(things: Sequence[ToDo]) -> tuple[ToDo, ...]:
    """At most `MOST_TO_DO` of them, so that what is broken does not crowd out all else."""
    if len(things) <= MOST_TO_DO:
        return tuple(things)
    mend = [each for each in things if each.kind == "mend"]
    others = [each for each in things if each.kind != "mend"]
    room = max(MOST_TO_DO - len(others), MOST_TO_DO - 2)
    return (*mend[:room], *others[: MOST_TO_DO - len(mend[:room])])
