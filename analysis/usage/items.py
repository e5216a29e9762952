"""Usage of every item over a period: trips carried, chances, uses, what was hauled, how often.

An item has had a chance where a condition that it is meant for came about while it was along. Only
trips whose use of it is known count: carried without a record of use is carried, never unused.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from ..stats.beta_binomial import Pool, Rate
from ..stats.exact_intervals import clopper_pearson
from ..store.rows import Store, ask
from ..store.scope import Scope, Scoped, choose
from .conditions import ColdOdds, ConditionOdds, Meaning, TripKind, condition_odds
from .trip_range import NOTHING_SEEN, Range, months_of


@dataclass(frozen=True, slots=True)
class Item:
    """What gear.csv says of a thing. ``weight_g`` is that of one piece today.

    ``insurance`` and ``essential`` with their defaults; ``essential_stated`` as the cell has it,
    missing where nobody says.
    """

    item: str
    name: str
    system: str
    carried_as: str
    weight_g: float | None
    insurance: bool
    essential: bool
    owner: str | None
    retired_on: date | None
    checked_on: date | None
    going_without: float | None
    meaning: Meaning
    needs: tuple[str, ...]
    essential_stated: bool | None = None
    capacity_wh: float | None = None


@dataclass(frozen=True, slots=True)
class Counts:
    """Trips, of a scope.

    ``logged``: carried, and it is known whether it was used. ``chances``: logged with the chance,
    and those on which it was missed at home (``wished``); ``chances_used`` of them with a use.
    ``no_chance``: logged, and known to have brought nothing that it is meant for. ``used``: logged
    with a use, whatever the weather; ``times`` adds up how often.
    """

    carried: int
    logged: int
    chances: int
    chances_used: int
    no_chance: int
    wished: int
    used: int
    times: int

    @property
    def not_known(self) -> int:
        """Trips carried of which use or chance is not known."""
        return self.carried - (self.chances - self.wished) - self.no_chance

    @property
    def besides(self) -> int:
        """Logged trips that were no known chance."""
        return self.logged - (self.chances - self.wished)

    @property
    def used_besides(self) -> int:
        """Those of them on which it was used all the same."""
        return self.used - (self.chances_used - self.wished)

    @property
    def never_used(self) -> bool:
        """Logged on at least one trip and used on none."""
        return self.logged > 0 and self.used == 0


@dataclass(frozen=True, slots=True)
class ItemUsage:
    """One thing's usage.

    ``rate`` is of its chances; a thing without a chance has that of its system's others.
    ``p_condition``: P(next trip brings what it is meant for). ``served``: systems other than its
    own, and on how many trips it served them. ``seen``: what bounds the trips on which its use is
    known or on which it was missed. ``occasions``: those with a known use that brought what its
    system is there for: a wet day for rain, with a night for shelter; a night for sleep.
    """

    about: Item
    counts: Counts
    rate: Rate
    p_condition: float
    served: tuple[tuple[str, int], ...]
    hauled_kg_km: float | None
    kg_km_per_use: float | None
    last_used_on: date | None
    seen: Range = NOTHING_SEEN
    occasions: int = 0

    @property
    def rate_besides(self) -> float:
        """How often it is used where its conditions do not come about; 0 where it never was.

        Posterior mean under Jeffreys' prior of the logged trips that were no known chance.
        """
        counts = self.counts
        return (counts.used_besides + 0.5) / (counts.besides + 1) if counts.used_besides else 0.0

    @property
    def besides_high(self) -> float:
        """The upper end of its own exact 90 % interval; 0 where there was no such use."""
        counts = self.counts
        if not counts.used_besides:
            return 0.0
        return clopper_pearson(counts.used_besides, counts.besides)[1]

    def need(self, p_condition: float | None = None) -> float:
        """P(needed on the next trip), for another chance of its conditions if given.

        P(condition) x rate; what was used outside its conditions, too, adds P(none) x that rate.
        """
        p = self.p_condition if p_condition is None else p_condition
        return p * self.rate.value + (1 - p) * self.rate_besides


@dataclass(frozen=True, slots=True)
class Usage:
    """Every thing that came along in a scope, or was missed on one of its trips, by item."""

    scoped: Scoped
    items: tuple[ItemUsage, ...]
    pools: Mapping[str, Pool]
    odds: ConditionOdds

    def need(self, item: ItemUsage, kind: TripKind | None) -> float:
        """P(needed on the next trip) of an item, for a trip of some kind or of any."""
        return item.need(self.odds.chance(item.about.meaning, kind))


def usage(store: Store, scope: Scope | None = None, cold_chance: ColdOdds | None = None) -> Usage:
    """The usage of everything over the trips of a scope, by default all.

    ``cold_chance`` stands for the log's own share of cold trips where normals give a better one.
    Raises QuestionError where the scope has no trip.
    """
    return usage_on(store, choose(store, Scope() if scope is None else scope), cold_chance)


def usage_on(store: Store, scoped: Scoped, cold_chance: ColdOdds | None = None) -> Usage:
    """The usage of everything over certain trips, as `usage` has it."""
    trips = scoped.names
    rows = ask(store, "usage/usage_counts", trips=trips)
    served: dict[str, list[tuple[str, int]]] = {}
    for row in ask(store, "usage/services", trips=trips):
        served.setdefault(row["item"], []).append((row["system"], row["trips"]))
    odds = condition_odds(store, trips, cold_chance)
    pools, rates = pooled([(r["system"], r["chances_used"], r["chances"]) for r in rows])
    items = (
        _item_usage(row, rate, odds, tuple(served.get(row["item"], ())))
        for row, rate in zip(rows, rates, strict=True)
    )
    return Usage(scoped, tuple(items), pools, odds)


def pooled(rows: Sequence[tuple[str, int, int]]) -> tuple[dict[str, Pool], list[Rate]]:
    """The pool of each system, and each row's rate in it; a row is system, uses, chances."""
    pools: dict[str, Pool] = {}
    rates: dict[int, Rate] = {}
    for system in sorted({s for s, _, _ in rows}):
        places = [place for place, row in enumerate(rows) if row[0] == system]
        used, n = [rows[p][1] for p in places], [rows[p][2] for p in places]
        pools[system] = Pool(used, n)
        rates |= dict(zip(places, pools[system].rates(used, n), strict=True))
    return pools, [rates[place] for place in range(len(rows))]


def _item_usage(
    row: Mapping[str, Any], rate: Rate, odds: ConditionOdds, served: tuple[tuple[str, int], ...]
) -> ItemUsage:
    meaning = Meaning.of(row["meant_for"], row["cold_below_c"])
    about = Item(
        **{name: row[name] for name in Item.__slots__ if name not in ("meaning", "needs")},
        meaning=meaning,
        needs=tuple(sorted(set(row["needs"]) - {row["item"]})),
    )
    counts = Counts(
        row["trips_carried"],
        row["trips_logged"],
        row["chances"],
        row["chances_used"],
        row["no_chance"],
        row["wished"],
        row["trips_used"],
        row["times_used"],
    )
    return ItemUsage(
        about,
        counts,
        rate,
        odds.chance(meaning),
        served,
        row["hauled_kg_km"],
        row["kg_km_per_use"],
        row["last_used_on"],
        Range(
            months_of(row["months"]), frozenset(row["modes"]), row["most_nights"], row["lowest_c"]
        ),
        row["occasions"],
    )
