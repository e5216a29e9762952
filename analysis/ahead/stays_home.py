"""What may stay at home on the trip ahead, by the cull's own rules and within its evidence."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from ..cull.culling import ask_on, left_by_verdict
from ..cull.results import Wish
from ..stats.estimate import Estimate
from ..store.rows import Store, ask
from ..store.scope import Scope, Scoped, ScopedTrip
from ..store.settings import settings_of
from ..store.trip_choice import TripChoice
from ..usage.cold_odds import TripsAhead, trips_ahead
from ..usage.items import Usage, usage_on
from ..usage.keep_rules import keeps_warm
from ..usage.leaving import circumstances
from ..usage.missing_odds import missing_odds
from ..usage.verdicts import Judged, only_beside
from .results import TripAhead


@dataclass(frozen=True)
class StaysHome:
    """What the cull leaves at home on the trip ahead, and the record that it asks.

    ``things`` by item, whether they are on the trip's list or not; empty where no trip was over
    before, and ``usage`` missing. ``beside``: the name of what each of some may be left alone
    beside, by item; of what the trip's list has where that does.
    """

    things: tuple[Judged, ...] = ()
    usage: Usage | None = None
    beside: Mapping[str, str] = field(default_factory=dict)

    @property
    def items(self) -> frozenset[str]:
        """The things by item."""
        return frozenset(judged.about.item for judged in self.things)

    def without(self, items: Collection[str]) -> "StaysHome":
        """The same, but for what is to come along after all."""
        things = tuple(judged for judged in self.things if judged.about.item not in items)
        beside = {item: name for item, name in self.beside.items() if item not in items}
        return replace(self, things=things, beside=beside)


def leaving_odds(home: StaysHome) -> Estimate:
    """`missing_odds` of what the record would leave at home; there must be a record of use."""
    if home.usage is None:
        raise ValueError("home: expected a record of use, got none")
    return missing_odds(home.usage, home.things)


def stays_at_home(store: Store, ahead: TripAhead) -> StaysHome:
    """What the table ``cull`` answers with the trip as the one to come, asked when it begins.

    Of trips that were over before it begins only: their use, what bags held, how cold one slept;
    gear as it was owned and weighed then. Holding back goes by the trip itself: its way of
    travelling, months, nights and usual low, and how likely a night on it is too cold.
    """
    choice = ahead.trip
    before = scoped_before(store, choice)
    if not before.trips:
        return StaysHome()
    to_come = trips_ahead(store, choice.trip)
    used = _as_weighed_then(
        store, choice, usage_on(store, before, to_come.cold if to_come is not None else None)
    )
    # How cold the trip may get takes a while to work out, and bears on what keeps warm alone.
    left, judged = _left(store, used, to_come, choice, cold=False)
    if any(keeps_warm(each.about) for each in left):
        left, judged = _left(store, used, to_come, choice, cold=True)
    items = [each.about.item for each in left]
    listed = {thing.item for thing in ahead.listed}.union(items)
    here = [each for each in judged if each.about.item in listed]
    return StaysHome(left, used, only_beside(items, judged) | only_beside(items, here))


def _left(
    store: Store, used: Usage, to_come: TripsAhead | None, choice: TripChoice, *, cold: bool
) -> tuple[tuple[Judged, ...], tuple[Judged, ...]]:
    """What stays at home, and everything as it was judged for that."""
    around = circumstances(store, used, to_come, choice.start_on, cold=cold)
    regret = settings_of(store).regret
    problem = ask_on(store, used, around, Wish(), regret=regret, today=choice.start_on).problem
    left = left_by_verdict(problem, problem.programme()).items
    return tuple(problem.by_item[item] for item in sorted(left)), tuple(problem.by_item.values())


def _as_weighed_then(store: Store, choice: TripChoice, used: Usage) -> Usage:
    """The same usage, its things as heavy as when the trip begins."""
    rows = ask(store, "ahead/gear_then", trip=choice.trip)
    mg = {row["item"]: row["weight_mg"] for row in rows}
    grams = {item: None if weight is None else weight / 1000 for item, weight in mg.items()}
    items = (replace(u, about=replace(u.about, weight_g=grams[u.about.item])) for u in used.items)
    return replace(used, items=tuple(items))


def scoped_before(store: Store, choice: TripChoice) -> Scoped:
    """Every trip over before the chosen one begins, plans apart, the latest last."""
    scope = Scope(until=choice.start_on)
    bounds = {"since": None, "until": scope.until, "mode": None, "season": None}
    rows = (ScopedTrip(**row) for row in ask(store, "store/scope_trips", **bounds))
    over = (t for t in rows if t.end_on <= choice.start_on and t.trip != choice.trip)
    return Scoped(scope, tuple(over))
