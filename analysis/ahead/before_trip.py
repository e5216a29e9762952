"""Everything that the page of a trip to come shows, as data."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from ..cold.trips import ColdAhead, cold_forecasts
from ..store.rows import Store, ask
from ..store.settings import settings_of
from ..wear.chores import TO_TRY, Chore
from ..wear.unmended import Unmended, unmended_by
from ..wear.upkeep import upkeep
from ..wear.words import UNFIT, WAS_WORDS
from ..weigh_up.bags import Bags, bags_of
from ..weigh_up.unmarked import unmarked_words
from ..weigh_up.weighing import weigh_up
from .energy import battery_ahead
from .forgotten import forgotten_of
from .lifelines import LIFELINES
from .needs import Consumption, consumption_of
from .packing import Packing, packing_of
from .results import BatteryAhead, MayBeMissing, TripAhead
from .scores import ColdScore, cold_score
from .stays_home import StaysHome, stays_at_home
from .uncounted import Uncounted, uncounted_of
from .unlisted import unlisted_of
from .weather import MeantFor, RainBefore, meant_for_weather, rain_before

_AT_EASE = ("camp", "leisure")
"""Systems in which what works badly is told where it is packed, not at the head."""


@dataclass(frozen=True, slots=True)
class ListWeight:
    """What the list weighs, in g, of what is weighed; ``unweighed`` names the rest.

    ``class_name`` is that of the base weight, missing where something of it is not weighed or the
    list has no shelter or nothing to sleep in.
    ``unread``: rows of the list that could not be loaded. ``bags``: what they hold, beside their
    owner's limits; of a list of its own only. ``unmarked``: that food, fuel or worn clothes count
    as base weight, in a sentence, and no class is named; blank where all is marked.
    """

    base_g: float
    skin_out_g: float
    carried_g: float
    unweighed: tuple[str, ...]
    class_name: str | None
    unread: int = 0
    bags: Bags | None = None
    unmarked: str = ""

    @property
    def at_least(self) -> bool:
        """Whether sums are lower bounds."""
        return bool(self.unweighed) or self.unread > 0


@dataclass(frozen=True, slots=True)
class BeforeTrip:
    """A trip to come. ``missing`` is asked of a list alone: without one nothing is missing yet.

    ``home``: what the record would leave at home for it. ``unlisted``: names of what is owned for
    health, light, rain and water and on no list (`unlisted_of`). ``names``: of all gear, by item;
    ``weights_g`` what one of it weighs when the trip begins, where that is known.
    ``broken``: what failed and is not mended, by item. ``uncounted``: batteries that may be a
    bike's, and are not in ``batteries``. ``relied_on``: what of the list failed and is not mended,
    the worst first; of what no list is to lack nuisances, too: nobody knows how bad a leak grows.
    ``cold_score``: how chances of a too cold night held on trips before, where one is known here.
    """

    ahead: TripAhead
    packing: Packing
    load: ListWeight
    missing: tuple[MayBeMissing, ...]
    consumption: Consumption
    batteries: tuple[BatteryAhead, ...]
    cold: ColdAhead
    weather: tuple[MeantFor, ...]
    chores: tuple[Chore, ...]
    home: StaysHome
    names: Mapping[str, str]
    unlisted: tuple[str, ...] = ()
    broken: Mapping[str, Unmended] = field(default_factory=dict)
    uncounted: tuple[Uncounted, ...] = ()
    relied_on: tuple[Unmended, ...] = ()
    rain: RainBefore = field(default_factory=RainBefore)
    weights_g: Mapping[str, float] = field(default_factory=dict)
    cold_score: ColdScore | None = None


def before_trip(store: Store, ahead: TripAhead, today: date) -> BeforeTrip:
    """What is known of a trip before it begins; nothing from after its start is used."""
    home = stays_at_home(store, ahead)
    packing = packing_of(store, ahead, home.items)
    missing = forgotten_of(store, ahead, home)
    home = home.without([one.item for one in missing if one.item is not None])
    drawn = sorted(packing.items) if packing.source == "like" else ()
    (cold,) = cold_forecasts(store, [ahead.trip], drawn=drawn)
    # What others carry is theirs to see to.
    batteries = battery_ahead(store, ahead)
    mine = {e.thing.item for e in packing.things if e.is_own_load and e.given_up is None}
    return BeforeTrip(
        ahead=ahead,
        packing=packing,
        load=_load(store, ahead, packing, today),
        missing=missing,
        consumption=consumption_of(store, ahead),
        batteries=batteries,
        uncounted=uncounted_of(store, ahead, batteries),
        cold=cold,
        weather=meant_for_weather(store, ahead, packing.things, cold.camps, missing),
        chores=_chores(store, ahead, today, mine, missing),
        home=home,
        names={r["item"]: r["name"] for r in ask(store, "store/gear_today")},
        broken=unmended_by(store, ahead.trip.start_on),
        relied_on=_relied_on(store, ahead, mine) if packing.source != "gear" else (),
        rain=rain_before(store, ahead),
        weights_g={
            row["item"]: row["weight_mg"] / 1000
            for row in ask(store, "ahead/gear_then", trip=ahead.trip.trip)
            if row["weight_mg"] is not None and row["carried_as"] != "consumable"
        },
        cold_score=_cold_score(store, ahead, cold, today),
        unlisted=unlisted_of(store, ahead, packing, [each.item for each in missing]),
    )


def _cold_score(store: Store, ahead: TripAhead, cold: ColdAhead, today: date) -> ColdScore | None:
    odds = [cold.chance, cold.if_whole, *(one.chance for one in cold.sets)]
    if not any(odds):
        return None
    return cold_score(store, min(today, ahead.trip.start_on))


def _matters(broken: Unmended) -> bool:
    """Whether what no list need have is broken so that it matters: no chair that works badly."""
    at_ease = broken.system in _AT_EASE
    return broken.severity in UNFIT or (broken.severity == "impaired" and not at_ease)


def _relied_on(store: Store, ahead: TripAhead, mine: Collection[str]) -> tuple[Unmended, ...]:
    broken = unmended_by(store, ahead.trip.start_on, nuisances=True)
    found = [
        one
        for item, one in broken.items()
        if item in mine and (one.system in LIFELINES or _matters(one))
    ]
    worst = tuple(WAS_WORDS)[::-1]
    found.sort(key=lambda one: (one.system not in LIFELINES, worst.index(one.severity), one.name))
    return tuple(found)


def _chores(
    store: Store,
    ahead: TripAhead,
    today: date,
    mine: Collection[str],
    missing: Sequence[MayBeMissing],
) -> tuple[Chore, ...]:
    """What to see to on the list, and of what no list should lack: what failed before."""
    vital = {each.item for each in missing if each.lifeline and each.item is not None} - set(mine)
    chores = upkeep(store, today, along={*mine, *vital}, before=ahead.trip)
    return tuple(each for each in chores if each.item not in vital or each.kind in TO_TRY)


def _load(store: Store, ahead: TripAhead, packing: Packing, today: date) -> ListWeight:
    if packing.source == "list":
        weighed = weigh_up(store, ahead.trip.trip, today=today)
        return ListWeight(
            weighed.base.grams,
            weighed.skin_out.grams,
            weighed.carried.grams,
            weighed.unweighed,
            weighed.base.class_name if weighed.has_class and not weighed.unread else None,
            weighed.unread,
            bags_of(weighed, settings_of(store).limits),
            weighed.unmarked,
        )
    mine = [each for each in packing.things if each.is_own_load]

    def grams(*kinds: str) -> float:
        rows = (each.row_g for each in mine if not kinds or each.thing.carried_as in kinds)
        return sum(g for g in rows if g is not None)

    unweighed = (each.thing.name for each in mine if each.row_g is None and not each.is_amount_open)
    return ListWeight(
        grams("base"),
        grams("base", "worn", "consumable"),
        grams(),
        tuple(dict.fromkeys(unweighed)),
        None,
        unmarked=unmarked_words(each.thing for each in mine),
    )
