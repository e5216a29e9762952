"""What to keep and what to leave at home, one verdict an item, by a rule written down beforehand.

An item that is missed costs its `going_without`, else what `[regret]` says of its system, else the
figure of `costs.SYSTEM_COST`. It may be left where even the highest rate that its record leaves
credible makes less than a third of a point of cost a trip: limit = 1 / (3 x cost).
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from typing import Literal

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..stats.beta_binomial import bare_bound, chances_to_tell
from ..stats.constants import TAILS
from .costs import cost_of, limit_of
from .guard_words import is_upper_shell, shields_upper_body, upper_body_of
from .items import Counts, Item, ItemUsage, Usage
from .keep_rules import NOTHING_KNOWN, Circumstances, Hold, HoldWhy, holds_on, users_of

Verdict = Literal[
    "keep", "leave", "kept_on_purpose", "no_chance_yet", "too_few_trips", "owner_to_say"
]
VerdictWhy = (
    HoldWhy
    | Literal[
        "no_chance", "too_few", "never_used", "seldom_used", "used", "used_besides", "last_of_kind"
    ]
)

FARTHEST = 60  # chances looked ahead for what would reverse a verdict


@dataclass(frozen=True, slots=True)
class Judged:
    """One thing, its verdict, why, and what would reverse it.

    ``cost`` of missing it once, 0 to 10; ``limit`` of its rate. ``verdict`` is missing for what is
    given up already. ``more``: chances without a use that would bring its bound under the limit,
    missing where that is farther than `FARTHEST` or not the point. ``uses``: uses on its next
    chances that would turn "leave" into "keep". ``needed_by``: names of what stays and needs it, or
    travels in it. ``held``: why it must not be advised against, whatever the counts say.
    ``only_one``: one of its kind must stay, and nothing else of it would.
    """

    usage: ItemUsage
    verdict: Verdict | None
    why: VerdictWhy
    cost: float
    limit: float
    more: int | None = None
    uses: int | None = None
    needed_by: tuple[str, ...] = ()
    held: Hold | None = None
    only_one: bool = False

    @property
    def about(self) -> Item:
        """What gear.csv says of it."""
        return self.usage.about

    @property
    def counts(self) -> Counts:
        """Its trips, chances and uses."""
        return self.usage.counts

    @property
    def bound(self) -> float:
        """The highest rate that its record leaves credible, by which it is judged."""
        rate = self.usage.rate
        return rate.high if rate.used else bare_bound(rate.n)


def judge(
    usage: Usage, regret: Mapping[str, float], today: date, around: Circumstances = NOTHING_KNOWN
) -> tuple[Judged, ...]:
    """The verdict of every item of a usage, in its order.

    What is given up by ``today`` has none. Never "leave": what `keep_rules` hold back, what is
    needed by or packed with what stays, or the last of its kind in shelter, sleep, water and rain;
    on the list of a trip to come, in light, too.
    """
    held, high = holds_on(usage, today, around), _highs(usage)
    alone = [_by_itself(item, high, regret, held.get(item.about.item)) for item in usage.items]
    return tuple(_together(alone, usage, around))


_High = Callable[[str, tuple[int, int], tuple[int, int]], float]
"""The upper end of a rate: of a system's thing, from its uses and chances, with other ones."""


def _highs(usage: Usage) -> _High:
    """Worked once for all things of a system that are alike, since it is what takes long."""

    @cache
    def high(system: str, now: tuple[int, int], then: tuple[int, int]) -> float:
        pool = usage.pools[system].instead(*now, *then)
        return float(pool.quantile(TAILS[1], *then)[0])

    return high


_AT_ONCE: Mapping[str, Verdict | None] = {
    "given_up": None,
    "insurance": "kept_on_purpose",
    "essential": "keep",
    "borrowed": "keep",
    "bound": "keep",
}
"""Verdicts that need no count."""


def _by_itself(
    item: ItemUsage, high: _High, regret: Mapping[str, float], held: Hold | None
) -> Judged:
    about, rate = item.about, item.rate
    cost = cost_of(about, regret)
    limit = limit_of(cost)

    def say(
        verdict: Verdict | None, why: VerdictWhy, more: int | None = None, uses: int | None = None
    ) -> Judged:
        return Judged(item, verdict, why, cost, limit, more, uses, held=held)

    if held is not None and held.why in _AT_ONCE:
        return say(_AT_ONCE[held.why], held.why)
    if not rate.n:
        return say("no_chance_yet", "no_chance", more=chances_to_tell(limit))
    silent = held is not None and held.why == "not_stated"
    if not rate.used and bare_bound(rate.n) >= limit:
        if silent:
            return say("owner_to_say", "not_stated")
        return say("too_few_trips", "too_few", more=chances_to_tell(limit) - rate.n)

    def then(used: int, n: int) -> float:
        now = rate.used, rate.n
        return high(about.system, now, (rate.used + used, rate.n + n))

    if rate.used and rate.high >= limit:
        more = None if silent else _first(lambda t: then(0, t) < limit)
        return say("keep", "used", more=more)
    if item.besides_high >= limit:
        return say("keep", "used_besides")
    if silent:
        return say("owner_to_say", "not_stated")
    if held is not None and held.why not in ("needed", "packed"):
        return say("keep", held.why)
    uses = _first(lambda u: then(u, u) >= limit)
    return say("leave", "seldom_used" if rate.used else "never_used", uses=uses)


def _first(holds: Callable[[int], bool]) -> int | None:
    """The first whole number up to `FARTHEST` from which on it holds; None where it does not."""
    if not holds(FARTHEST):
        return None
    low, high = 0, FARTHEST
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


_WEATHER = frozenset(("wet", "cold"))
_SETTLED = ("given_up", "insurance", "essential", "borrowed", "bound", "used", "used_besides")


def _together(alone: Iterable[Judged], usage: Usage, around: Circumstances) -> list[Judged]:
    """Keep what stays for the sake of others, and what would else be the last of its kind."""
    judged = {j.about.item: j for j in alone}
    while True:
        leaving = {i for i, j in judged.items() if j.verdict == "leave"}
        here = [j for j in judged.values() if j.verdict is not None]
        staying = _kept_for_others(judged, around)
        for kind in one_must_stay([j.about for j in here], around):
            if not staying and kind <= leaving:
                last = max(kind, key=lambda i: (usage.need(judged[i].usage, None), i))
                staying[last] = replace(judged[last], verdict="keep", why="last_of_kind", uses=None)
        if not staying:
            return list((judged | _only_ones(judged, around)).values())
        judged |= staying


def _only_ones(judged: Mapping[str, Judged], around: Circumstances) -> dict[str, Judged]:
    """What no more occasions would let go: one of its kind must stay, and all else of it leaves."""
    leaving = {i for i, j in judged.items() if j.verdict == "leave"}
    here = [j.about for j in judged.values() if j.verdict is not None]
    rests = [kind - leaving for kind in one_must_stay(here, around)]
    alone = {item for rest in rests if len(rest) == 1 for item in rest}
    return {
        i: replace(judged[i], more=None, only_one=True) for i in alone if judged[i].more is not None
    }


def _kept_for_others(judged: Mapping[str, Judged], around: Circumstances) -> dict[str, Judged]:
    """What is kept, whatever the count, since something that stays needs it or travels in it."""
    stays = {i: j for i, j in judged.items() if j.verdict not in (None, "leave")}
    users = users_of(j.about for j in stays.values())
    staying: dict[str, Judged] = {}
    for item, one in judged.items():
        if one.why in (*_SETTLED, "needed", "packed") or one.verdict is None:
            continue
        by = tuple(stays[i].about.name for i in users.get(item, ()))
        packed = [i for i in sorted(around.bags.get(item, ())) if i in stays or i not in judged]
        if by or packed:
            names = by or tuple(stays[i].about.name for i in packed if i in stays)
            why: VerdictWhy = "needed" if by else "packed"
            staying[item] = replace(
                one, verdict="keep", why=why, more=None, uses=None, needed_by=names
            )
    return staying


def stands_for(judged: Judged, others: Iterable[Judged]) -> Judged | None:
    """What does the work of a thing that is left at home: it may be left only beside that.

    Of shelter, sleep, water, rain, and of what is meant for wet or cold: the heaviest thing of its
    system that stays, is meant for the same, and is one to rely on; of what is over the upper body
    in rain only a jacket, poncho or cape. None where there is no such thing, and for anything else.
    """
    about = judged.about
    over_body = about.system == "rain" and shields_upper_body(about.item, about.name)
    if about.system not in ESSENTIAL_SYSTEMS and about.meaning.words.isdisjoint(_WEATHER):
        return None

    def does_its_work(other: Judged) -> bool:
        its, words = other.about, other.about.meaning.words
        own = not its.insurance and its.owner is None and its.carried_as != "consumable"
        same = not words or not about.meaning.words or bool(words & about.meaning.words)
        stays = other.verdict not in (None, "leave") and its.item != about.item
        if over_body and not is_upper_shell(its.item, its.name):
            return False
        return stays and own and same and its.system == about.system

    able = [other for other in others if does_its_work(other)]
    return max(able, key=lambda j: (j.about.weight_g or 0.0, j.about.item), default=None)


def only_beside(items: Iterable[str], judged: Collection[Judged]) -> dict[str, str]:
    """Of things left at home, beside what each may be left alone (`stands_for`): names, by item."""
    left, by_item = set(items), {one.about.item: one for one in judged}
    staying = [one for one in judged if one.about.item not in left]
    pairs = ((item, stands_for(by_item[item], staying)) for item in sorted(left))
    return {item: other.about.name for item, other in pairs if other is not None}


def one_must_stay(
    items: Iterable[Item], around: Circumstances = NOTHING_KNOWN
) -> list[frozenset[str]]:
    """Sets of items of each of which one must stay: shelter, sleep, water and rain.

    Such a set is what one owns of the system to rely on: insurance is no more than a second line,
    what is borrowed goes back, and consumables run out. Where there is no such thing, it is all
    that is no insurance, else all. Of rain gear one over the upper body must stay as well
    (`upper_body_of`): trousers do not stand in for it. Of what a trip to come has on its list one
    must stay as well, and of light there.
    """
    here = list(items)
    sets = []
    for system in ESSENTIAL_SYSTEMS:
        every = [i for i in here if i.system == system]
        own = [
            i for i in every if not i.insurance and i.owner is None and i.carried_as != "consumable"
        ]
        if every:
            rest = [i for i in every if not i.insurance]
            sets.append(frozenset(i.item for i in own or rest or every))
            if system == "rain":
                names = {i.item: i.name for i in own or rest or every}
                sets += [upper for upper in [upper_body_of(names)] if upper]
    known = {i.item for i in here}
    # What is on a list and has no record is advised against by nobody: it stays.
    return sets + [listed for listed in around.relied_on if listed and listed <= known]
