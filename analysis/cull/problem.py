"""From verdicts to the programme: what may be left, what it saves, and what binds it together."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..stats.zero_one import Choice, Programme, Rules, StandIn, keep_what_is_needed
from ..store.rows import Store, ask
from ..usage.conditions import TripKind
from ..usage.items import Usage
from ..usage.keep_rules import NOTHING_KNOWN, OPEN_SYSTEMS, SILENT_SYSTEMS, Circumstances
from ..usage.verdicts import Judged, one_must_stay
from .results import BaseWeight

if TYPE_CHECKING:
    import numpy as np

_OPEN = {
    "leave": ("never_used", "seldom_used"),
    "keep": ("used", "used_besides", "last_of_kind", "needed", "packed"),
}
_UNDECIDED = {"no_chance_yet": ("no_chance",), "too_few_trips": ("too_few",)}
_COST_FACTORS = (0.5, 1.0, 2.0)


def base_loads(store: Store, usage: Usage) -> dict[str, int | None]:
    """What things usually weigh as base, in mg, by item; None where not weighed.

    The usual pieces at today's weight, else what they usually weighed on the trips. What was base
    on fewer than half of the trips that it came along on is usually something else, and left out.
    """
    known = {u.about.item: u for u in usage.items}
    loads: dict[str, int | None] = {}
    for row in ask(store, "cull/base_loads", trips=usage.scoped.names):
        one = known[row["item"]]
        today = one.about.weight_g
        if 2 * row["trips_base"] >= one.counts.carried:
            loads[one.about.item] = (
                row["mg"] if today is None else row["pieces"] * round(today * 1000)
            )
    return loads


def usual_base(store: Store, usage: Usage) -> BaseWeight:
    """The median base weight of the trips with a night, of those weighed in full if any is."""
    import statistics

    rows = ask(store, "cull/usual_base", trips=usage.scoped.names)
    full = [row for row in rows if not row["unweighed"]]
    counted = full or rows
    grams = statistics.median(row["base_mg"] for row in counted) / 1000 if counted else None
    return BaseWeight(grams, len(counted), not full)


def stand_in_credits(store: Store, usage: Usage) -> dict[tuple[str, str], float]:
    """How many of the services of an item, the second of a pair, were the first one's work."""
    rows = ask(store, "cull/stand_in_credits", trips=usage.scoped.names)
    return {(row["item"], row["stand_in"]): row["credit"] for row in rows}


def no_own_work(store: Store, usage: Usage) -> dict[str, tuple[str, ...]]:
    """Things that were never used without one of those that need them, with those."""
    rows = ask(store, "cull/no_own_work", trips=usage.scoped.names)
    return {row["item"]: tuple(row["users"]) for row in rows}


@dataclass(frozen=True)
class CullProblem:
    """What may be left of the things judged, and the rules for leaving it.

    ``by_item``: all that is not given up. ``loads``: mg that things usually weigh as base, None
    where not weighed. ``saved_mg``: what leaving a thing saves, of all that may be left.
    ``unweighed``: names of what might be left but saves nothing that is known.
    """

    usage: Usage
    judged: tuple[Judged, ...]
    by_item: Mapping[str, Judged]
    loads: Mapping[str, int | None]
    saved_mg: Mapping[str, int]
    rules: Rules
    unweighed: tuple[str, ...]

    def programme(self, kind: TripKind | None = None, *, but_for_it: bool = False) -> Programme:
        """The programme for the next trip, of some kind or of any.

        ``but_for_it``: what is meant for that kind of trip is no option on it, used or not.
        """
        free: Collection[str] = self.saved_mg.keys()
        if but_for_it:
            asks: dict[str, list[str]] = {i: [] for i in free}
            for item, other in (*self.rules.needs, *self.rules.packed):
                asks.setdefault(item, []).append(other)
            options = [i for i in free if kind not in self.by_item[i].about.meaning.words]
            free = keep_what_is_needed(options, asks)
        return Programme(
            [
                Choice(i, mg, self.usage.need(self.by_item[i].usage, kind), self.by_item[i].cost)
                for i, mg in self.saved_mg.items()
                if i in free
            ],
            self.rules,
        )

    def draws(self, rng: "np.random.Generator", size: int) -> list[dict[str, float]]:
        """P(needed) x cost of every option, drawn so many times from all that is uncertain.

        Rates from their pooled posteriors, conditions from theirs, and each cost at half, once or
        twice its figure.
        """
        import numpy as np

        names = sorted(self.saved_mg)
        regrets = np.zeros((size, len(names)))
        meanings = sorted(
            {self.by_item[i].about.meaning for i in names},
            key=lambda m: (sorted(m.words), m.cold_below_c or 0.0),
        )
        ahead = {m: self.usage.odds.draw(rng, m, size) for m in meanings}
        for system in sorted({self.by_item[i].about.system for i in names}):
            mine = [i for i in names if self.by_item[i].about.system == system]
            rates = [self.by_item[i].usage.rate for i in mine]
            drawn = self.usage.pools[system].draw(
                rng, [r.used for r in rates], [r.n for r in rates], size
            )
            for place, item in enumerate(mine):
                judged = self.by_item[item]
                p = ahead[judged.about.meaning]
                need = p * drawn[:, place] + (1 - p) * judged.usage.rate_besides
                regrets[:, names.index(item)] = need * judged.cost
        regrets *= rng.choice(_COST_FACTORS, regrets.shape)
        return [dict(zip(names, map(float, row), strict=True)) for row in regrets]


def _may_go(judged: Judged) -> bool:
    """Whether anything may ask it in: an option that a person could mean, on what the record saw.

    What the verdicts would leave, taken by itself, may go. Beyond that nothing of the systems that
    keep one warm, dry, lit, fed or well, and nothing meant for certain weather; nothing without an
    occasion but leisure things, nor with too few but what its system says is no loss; and nothing
    that is as likely as not needed beyond its limit.
    """
    about, why = judged.about, judged.why
    if judged.held is not None:
        return False
    if judged.verdict == "leave" or why in ("last_of_kind", "needed", "packed"):
        return judged.usage.rate.low <= judged.limit
    if about.system == "leisure":
        return why == "no_chance" or judged.usage.rate.value <= judged.limit
    careful = about.system in (*SILENT_SYSTEMS, *ESSENTIAL_SYSTEMS) or bool(about.meaning.words)
    unseen = why == "no_chance" or (why == "too_few" and about.system in OPEN_SYSTEMS)
    return not (careful or unseen) and judged.usage.rate.value <= judged.limit


def pose(
    usage: Usage,
    judged: Sequence[Judged],
    loads: Mapping[str, int | None],
    credits: Mapping[tuple[str, str], float],
    undecided: bool = False,
    around: Circumstances = NOTHING_KNOWN,
    idle: Mapping[str, tuple[str, ...]] = MappingProxyType({}),
) -> CullProblem:
    """The problem of what to leave.

    ``loads``: mg that leaving a thing saves, of what was carried as base. ``credits``: see
    `stand_in_credits`; B's share of A's work is theirs of those, of A's own uses and of one more,
    since a few services prove little. ``undecided`` asks in what had too few chances or none.
    ``around``: what travelled in which item, and on which lists something must stay; ``idle``: see
    `no_own_work`. What may be asked in at all: see `_may_go`.
    """
    here = {j.about.item: j for j in judged if j.verdict is not None}
    is_open = {**_OPEN, **_UNDECIDED} if undecided else _OPEN
    may = {
        i
        for i, j in here.items()
        if i in loads and j.why in is_open.get(j.verdict or "", ()) and _may_go(j)
    }
    weighed = {i for i in may if loads[i] is not None}
    needs = {i: [n for n in j.about.needs if n in here] for i, j in here.items()}
    packed = [
        (i, bag) for bag in sorted(weighed) for i in sorted(around.bags.get(bag, ())) if i in here
    ]
    asks = {i: list(n) for i, n in needs.items()}
    for item, bag in packed:
        asks[item].append(bag)
    free = keep_what_is_needed(weighed, asks)
    stand_ins = tuple(
        StandIn(a, b, credit / (credit + here[a].counts.used + 1))
        for (a, b), credit in sorted(credits.items())
        if a in free and b in here
    )
    rules = Rules(
        tuple((i, n) for i in sorted(free) for n in needs[i]),
        tuple(one_must_stay([j.about for j in here.values()], around)),
        stand_ins,
        tuple((i, bag) for i, bag in packed if bag in free),
        tuple((j, users) for j, users in sorted(idle.items()) if {j, *users} <= free),
    )
    names = tuple(here[i].about.name for i in sorted(may - weighed))
    return CullProblem(
        usage, tuple(judged), here, loads, {i: loads[i] or 0 for i in sorted(free)}, rules, names
    )
