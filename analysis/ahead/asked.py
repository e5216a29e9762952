"""What bears on what the list of the trip ahead may lack: gear, list, lists of trips before."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from ..store.rows import Record, Store, ask
from ..usage.held_words import protects
from .along import LikeLists
from .regret import about
from .results import TripAhead
from .stays_home import StaysHome, scoped_before
from .unlike import are_alike

_NEVER_WITHOUT = frozenset(("shelter", "sleep", "water", "rain"))


@dataclass(frozen=True)
class ListAsked:
    """What bears on the question.

    ``nights``: of the trip. ``listed``: items on the list. ``borne``: borrowed things that only
    others carried. ``alone``: nobody else comes along. ``wishes``: rows of ``ahead/wishes_before``.
    ``line``: by item everything before it in `replaces`. ``unlike``: the trip lies outside of all
    before; ``alike``: like trips may be told as such. ``mode``: how it is travelled, if noted.
    """

    gear: Mapping[str, Record]
    nights: int
    listed: frozenset[str]
    borne: frozenset[str]
    alone: bool
    known: LikeLists
    home: StaysHome
    wishes: Sequence[Record]
    line: Mapping[str, frozenset[str]]
    unlike: bool
    alike: bool
    mode: str | None

    @property
    def far(self) -> bool:
        """Whether no trip before is like the one ahead, or they hardly are."""
        return not (self.known.like and self.alike)

    def protects(self, item: str) -> bool:
        """Whether it keeps warm, dry, lit, found, fed, healed or afloat."""
        return protects(about(self.gear[item]))

    def name(self, item: str) -> str:
        """How its owner calls it."""
        return str(self.gear[item]["name"])

    def related(self, item: str, others: Iterable[str]) -> bool:
        """Whether one of the others took over from it, or it from one of them."""
        return any(o in self.line[item] or item in self.line[o] for o in others)


def asked_of(store: Store, ahead: TripAhead, home: StaysHome) -> ListAsked:
    """All that bears on what the list of the trip ahead may lack."""
    gear = {row["item"]: row for row in ask(store, "ahead/gear_then", trip=ahead.trip.trip)}
    before = scoped_before(store, ahead.trip)
    rows = ask(store, "ahead/lists_of", trips=before.names)
    lists: dict[str, set[str]] = {}
    for row in rows:
        lists.setdefault(row["trip"], set()).add(row["item"])
    like = {trip.trip for trip in ahead.like}
    mine = {row["item"] for row in rows if row["trip"] in like and row["carried_by"] is None}
    known = LikeLists(gear, ahead.like, lists, [(t.trip, t.start_on) for t in before.trips])
    return ListAsked(
        gear,
        ahead.nights,
        frozenset(thing.item for thing in ahead.listed),
        frozenset(i for i, row in gear.items() if row["owner"] is not None and i not in mine),
        ahead.people == 1 and all(thing.carried_by is None for thing in ahead.listed),
        known,
        home,
        ask(store, "ahead/wishes_before", trips=before.names),
        {item: _before(item, gear) for item in gear},
        ahead.unlike is not None,
        are_alike(ahead.like, ahead.unlike),
        ahead.trip.mode,
    )


def _before(item: str, gear: Mapping[str, Record]) -> frozenset[str]:
    line: set[str] = set()
    left = list(gear[item]["replaces"])
    while left:
        old = left.pop()
        if old in gear and old != item and old not in line:
            line.add(old)
            left += gear[old]["replaces"]
    return frozenset(line)


def standing_for(asked: ListAsked, open_: Collection[str], gone: Collection[str]) -> list[str]:
    """What may stand for a kind that the list lacks; a whistle stands in for no buoyancy aid."""
    listed = sorted(asked.listed & asked.known.at_hand)
    others = (
        item
        for item in asked.known.at_hand - asked.listed
        if item not in gone
        and asked.gear[item]["system"] != "sleep"
        and not asked.related(item, listed)
    )
    return sorted({*open_, *others})


def needed_alone(asked: ListAsked) -> frozenset[str]:
    """What others lent and carried and nobody brings now, of shelter, sleep, water and rain."""
    if not asked.alone:
        return frozenset()
    left = asked.borne & asked.known.at_hand - asked.listed
    return frozenset(item for item in left if asked.gear[item]["system"] in _NEVER_WITHOUT)


def needed_by_list(asked: ListAsked) -> dict[str, str]:
    """What things on the list need, and what that needs, and is not on it; by item its user.

    Where it is no longer at hand what took over from it does; where either is on the list nothing
    is missing.
    """
    known = asked.known
    owned_listed = asked.listed & known.at_hand
    needed: dict[str, str] = {}
    users = sorted(asked.listed)
    while users:
        user = users.pop(0)
        for item in sorted(set(asked.gear[user]["needs"]) & asked.gear.keys()):
            does = [item] if item in known.at_hand else known.heirs(item)
            served = any(one in asked.listed | needed.keys() for one in does)
            if does and not served and not asked.related(does[0], owned_listed):
                needed[does[0]] = user
                users.append(does[0])
    return needed
