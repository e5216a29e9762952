"""Everything that the page of a trip to come shows, as data."""

from dataclasses import dataclass
from datetime import date

from ..cold.trips import ColdAhead, cold_forecasts
from ..store.rows import Store
from ..wear.chores import Chore
from ..weigh_up.weighing import weigh_up
from .energy import battery_ahead
from .forgotten import forgotten_of
from .needs import needs_of
from .packing import Packing, packing_of
from .ready import ready_for
from .results import BatteryAhead, MayBeMissing, Need, TripAhead
from .stays_home import MayStay, stays_home
from .weather import MeantFor, meant_for_weather


@dataclass(frozen=True, slots=True)
class Load:
    """What the list weighs, in g, of what is weighed; ``unweighed`` names the rest.

    ``class_name`` is that of the base weight, missing where something of it is not weighed.
    ``unread``: rows of the list that could not be loaded.
    """

    base_g: float
    skin_out_g: float
    carried_g: float
    unweighed: tuple[str, ...]
    class_name: str | None
    unread: int = 0

    @property
    def at_least(self) -> bool:
        """Whether sums are lower bounds."""
        return bool(self.unweighed) or self.unread > 0


@dataclass(frozen=True, slots=True)
class BeforeTrip:
    """A trip to come. ``missing`` is asked of a list alone: without one nothing is missing yet."""

    ahead: TripAhead
    packing: Packing
    load: Load
    missing: tuple[MayBeMissing, ...]
    needs: tuple[Need, ...]
    batteries: tuple[BatteryAhead, ...]
    cold: ColdAhead
    weather: tuple[MeantFor, ...]
    chores: tuple[Chore, ...]
    stays: tuple[MayStay, ...]


def before_trip(store: Store, ahead: TripAhead, today: date) -> BeforeTrip:
    """What is known of a trip before it begins; nothing from after its start is used."""
    packing = packing_of(store, ahead)
    (cold,) = cold_forecasts(store, [ahead.trip])
    return BeforeTrip(
        ahead=ahead,
        packing=packing,
        load=_load(store, ahead, packing, today),
        missing=forgotten_of(store, ahead, today) if packing.source == "list" else (),
        needs=needs_of(store, ahead),
        batteries=battery_ahead(store, ahead),
        cold=cold,
        weather=meant_for_weather(store, ahead.trip, packing.things),
        chores=ready_for(store, ahead, packing, today),
        stays=stays_home(store, ahead, today),
    )


def _load(store: Store, ahead: TripAhead, packing: Packing, today: date) -> Load:
    if packing.source == "list":
        weighed = weigh_up(store, ahead.trip.trip, today=today)
        return Load(
            weighed.base.grams,
            weighed.skin_out.grams,
            weighed.carried.grams,
            weighed.unweighed,
            None if weighed.unread else weighed.base.class_name,
            weighed.unread,
        )
    mine = [each for each in packing.things if each.is_own_load]

    def grams(*kinds: str) -> float:
        rows = (each.row_g for each in mine if not kinds or each.thing.carried_as in kinds)
        return sum(g for g in rows if g is not None)

    unweighed = (
        each.thing.name
        for each in mine
        if each.row_g is None and not (_is_eaten(each.thing.carried_as, packing))
    )
    return Load(
        grams("base"),
        grams("base", "worn", "consumable"),
        grams(),
        tuple(dict.fromkeys(unweighed)),
        None,
    )


def _is_eaten(carried_as: str, packing: Packing) -> bool:
    """Whether it has no weight because how much of it to take is another question."""
    return packing.source == "like" and carried_as == "consumable"
