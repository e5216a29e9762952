"""May a thing be advised against? One answer for every page, table, option and swap.

`held_back` says of everything in gear.csv that must not be advised against why not. What has no
entry may be left at home on its record; whether it should be is another question.
"""

from collections.abc import Mapping
from datetime import date

from ...tripdata.contract import ESSENTIAL_SYSTEMS, TOO_COLD_VOTE
from ...tripdata.errors import QuestionError
from ..store.rows import Store, ask
from ..store.scope import Scope
from ..store.trip_choice import TripChoice
from . import keep_rules
from .cold_odds import TripsAhead
from .guard_words import upper_body_of
from .items import Usage, usage
from .keep_rules import Circumstances
from .trip_range import TripToCome, months_of

_NO_RECORD = "It has never come along, so nothing is known of it."


def held_back(
    store: Store, today: date, *, scope: Scope | None = None, ahead: TripsAhead | None = None
) -> Mapping[str, str]:
    """Everything in gear.csv that must not be advised against, by item, with a sentence why.

    ``scope``: the trips looked back on, by default all. ``ahead``: trips to come, where named
    (`cold_odds.trips_ahead`). ``today``: gear given up by then is past advising.
    """
    from .held_words import hold_sentence

    every = [row["item"] for row in ask(store, "store/gear_today")]
    reasons = dict.fromkeys(every, _NO_RECORD)
    try:
        counted = usage(store, scope, ahead.cold if ahead is not None else None)
    except QuestionError:
        return reasons
    held = keep_rules.holds_on(counted, today, circumstances(store, counted, ahead))
    for used in counted.items:
        item = used.about.item
        if item in held:
            reasons[item] = hold_sentence(used, held[item])
        else:
            del reasons[item]
    return reasons


def circumstances(
    store: Store,
    counted: Usage,
    ahead: TripsAhead | None = None,
    before: date | None = None,
    *,
    cold: bool = True,
) -> Circumstances:
    """What bears on leaving things at home, on the trips of a usage and those that lie ahead.

    ``before``: what bags held and how cold one can sleep is of the trips counted, over by that day,
    and of the trips ahead alone; by default the whole logbook knows of it. ``cold``: whether to
    work out how likely a too cold night ahead is, which takes a while.
    """
    trips = () if ahead is None else ahead.trips
    names = None if before is None else [*counted.scoped.names, *(t.trip for t in trips)]
    bags: dict[str, set[str]] = {}
    for row in ask(store, "usage/bag_contents", trips=names):
        bags.setdefault(row["bag"], set()).add(row["item"])
    (votes,) = ask(
        store, "usage/warmth_votes", trips=counted.scoped.names, too_cold_vote=TOO_COLD_VOTE
    )
    to_come = ask(store, "usage/trips_to_come", trips=[t.trip for t in trips]) if trips else []
    return Circumstances(
        {bag: frozenset(items) for bag, items in bags.items()},
        votes["judged"],
        votes["too_cold"],
        tuple(TripToCome(**{**row, "months": months_of(row["months"])}) for row in to_come),
        *(_too_cold_ahead(store, trips, before) if cold else (None, None)),
        _relied_on(store, counted, [t.trip for t in trips]),
    )


def _relied_on(store: Store, counted: Usage, trips: list[str]) -> tuple[frozenset[str], ...]:
    """Sets of things of which one must stay, of the list of each trip to come.

    Of its rain gear one over the upper body must, too (`upper_body_of`).
    A trip without a list of its own is packed from what is owned: there one of light must stay, as
    one of the other systems must in any case.
    """
    if not trips:
        return ()
    systems = [*ESSENTIAL_SYSTEMS, "light"]
    rows = ask(store, "usage/relied_on", trips=trips, systems=systems)
    sets = {frozenset(row["items"]) for row in rows}
    names = {row["item"]: row["name"] for row in ask(store, "store/gear_today")}
    rain = [row["items"] for row in rows if row["system"] == "rain"]
    sets |= {upper_body_of({item: names[item] for item in items}) for items in rain}
    listed = ask(store, "usage/with_a_list", trips=trips)
    if len(listed) < len(trips):
        lights = [u.about for u in counted.items if u.about.system == "light"]
        own = [i for i in lights if not i.insurance and i.owner is None]
        sets.add(frozenset(i.item for i in own if i.carried_as not in ("consumable", "vehicle")))
    return tuple(sorted(sets, key=sorted))


def _too_cold_ahead(
    store: Store, trips: tuple[TripChoice, ...], before: date | None
) -> tuple[tuple[float, str] | None, str | None]:
    """The highest chance of a too cold night on one of the trips, with that trip's title.

    Then the title of the first whose bed is wanting, so that it is colder than any chance says.
    """
    from ..cold.trips import cold_forecasts

    every = cold_forecasts(store, trips, before=before, sets=False)
    known = [(each.chance.p_any.value, each.trip.title) for each in every if each.chance]
    wanting = (each.trip.title for each in every if each.lacking or each.unmended)
    return max(known, default=None), next(wanting, None)
