"""Will I be cold: the one answer for a trip, from own limit or rating and the climate normals."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from ..climate.outlook import Outlook, outlook_of_trip
from ..climate.station_choice import NoStation
from ..store.rows import Record, Store, ask
from ..store.trip_choice import TripChoice, choose_ahead
from ..wear.chores import TO_TRY, Chore
from ..wear.unmended import Unmended, unmended_by
from ..wear.upkeep import upkeep
from .camps import CampsOff, camps_off
from .chance import NightAhead, TooColdChance, chance_alone, chance_of_cold_night
from .limit import Basis, ColdLimit, ColdLimits, SleepSystem, cold_limits, system_of, thing_by_thing
from .sets import Lacking, SleepThing, lacking, owned_sets, set_of, sleep_things
from .unrated import UnratedNights, unrated_nights


@dataclass(frozen=True, slots=True)
class SetAhead:
    """A sleep set that is owned, on a trip to come.

    ``chance`` and ``by_normals`` are missing as in `ColdAhead`.
    ``on_list``: all of it is on the trip's list. ``weight_g`` is missing where a thing of it is not
    weighed. ``lacking``: what that list lacks beside it of the sets that were slept in.
    ``unmended``: what of it failed before and is not mended.
    """

    trip: TripChoice
    limit: ColdLimit
    weight_g: float | None
    chance: TooColdChance | None
    on_list: bool
    lacking: tuple[Lacking, ...] = ()
    unmended: tuple[Unmended, ...] = ()
    by_normals: float | None = None

    @property
    def told(self) -> TooColdChance | None:
        """The chance as far as it may be told: as in `ColdAhead`."""
        return None if self.lacking or self.unmended else self.chance


@dataclass(frozen=True, slots=True)
class ColdAhead:
    """A trip to come. ``chance`` is missing where ``why_not`` says why it cannot be told.

    It is by the climate normals and by how much colder than they say one's ``camps`` were before;
    ``by_normals`` is what it would be by the normals alone. ``camps`` is missing where no low of a
    trip before was measured.

    ``why_not``: no_nights, no_bedding (no rated sleep gear is noted for it), no_station or
    no_spread (normals without the spread of single nights). ``bedding`` is the sleep gear of most
    nights (``varies``: of some night it is another), ``limit`` the limit in it, and ``basis`` says
    what limit and chance rest on: own judged nights in it, or its rating brought to the limit
    scale. ``lacking``: what the list lacks of the sets that were slept in. ``unmended``: what of
    its sleep gear failed before and is not mended. ``if_whole``: the chance if it lacked nothing
    and all were sound. ``to_try``: what it lacks that failed before, to mend or to try first; one
    each. ``unrated``: the nights in its bedding where that has no rating. ``drawn``: all this is of
    a list that was drawn from like trips. ``sets``:
    every sleep set that is owned, where that was asked for; ``bedding_g``, known then as well, is
    what the bedding weighs, missing where a thing of it is not weighed.
    """

    trip: TripChoice
    outlook: Outlook | NoStation
    bedding: SleepSystem | None
    limit: ColdLimit | None
    varies: bool
    chance: TooColdChance | None
    why_not: str | None
    lacking: tuple[Lacking, ...]
    sets: tuple[SetAhead, ...] = ()
    camps: CampsOff | None = None
    by_normals: float | None = None
    unmended: tuple[Unmended, ...] = ()
    if_whole: TooColdChance | None = None
    drawn: bool = False
    to_try: tuple[Chore, ...] = ()
    unrated: UnratedNights | None = None
    bedding_g: float | None = None

    @property
    def told(self) -> TooColdChance | None:
        """The chance as far as it may be told: every page and table asks here.

        Without a mat, or in what is broken, one is colder than any figure says: none is told then.
        """
        return None if self.lacking or self.unmended else self.chance

    @property
    def basis(self) -> Basis | None:
        """What the chance rests on; missing where no rated sleep gear comes along."""
        return self.limit.basis if self.limit is not None else None

    @property
    def judged_nights(self) -> int:
        """How many judged nights are behind the limit in this sleep gear."""
        return self.limit.nights if self.limit is not None else 0


def cold_trips_ahead(
    store: Store, limits: ColdLimits, trip: str, today: date
) -> tuple[ColdAhead, ...]:
    """The trip of that name, or for a blank name every plan not over by ``today``, with the sets.

    ``limits`` are those of the whole logbook. Raises QuestionError where there is no such trip.
    """
    return cold_forecasts(store, choose_ahead(store, trip, today), limits)


def cold_forecasts(
    store: Store,
    chosen: Sequence[TripChoice],
    limits: ColdLimits | None = None,
    *,
    before: date | None = None,
    sets: bool = True,
    drawn: Sequence[str] = (),
) -> tuple[ColdAhead, ...]:
    """How likely a too cold night is on trips, planned or past: every page and rule asks here.

    Each is told from the nights of trips alone that were over before it begins, and by ``before``.
    ``limits``: those of the whole logbook, where they are at hand. ``sets``: whether to tell of
    every sleep set that is owned. ``drawn``: items of a list drawn from like trips, for a trip that
    has none of its own.
    """
    lasts = [t["end_on"] for t in ask(store, "store/trips_by_start") if not t["plan"]]
    bounded = {} if limits is None else {len(lasts): limits}
    forecasts = []
    for trip in chosen:
        known_on = trip.start_on if before is None else min(before, trip.start_on)
        over = sum(last <= known_on for last in lasts)
        if over not in bounded:
            bounded[over] = cold_limits(store, known_on)
        ahead = _cold_ahead(store, bounded[over], trip, known_on, drawn)
        if sets:
            things = sleep_things(store, trip.start_on)
            bed = ahead.bedding.items if ahead.bedding is not None else ()
            owned = _sets_ahead(store, bounded[over], ahead, things)
            ahead = replace(ahead, sets=owned, bedding_g=_weight_g(things, bed) if bed else None)
        forecasts.append(ahead)
    return tuple(forecasts)


def chance_beforehand(store: Store, trip: TripChoice) -> float | None:
    """The chance of any too cold night that was told of a past trip on the day it began.

    That of `cold_forecasts`, at a fraction of its time: no range, and of its own sleep gear alone.
    None where it could not be told.
    """
    bedding = _bedding(ask(store, "store/trip_bedding", trip=trip.trip))
    outlook = outlook_of_trip(store, trip.trip)
    if _why_not(trip, outlook, bedding) is not None:
        return None
    assert bedding is not None
    assert isinstance(outlook, Outlook)
    limits, camps = cold_limits(store, trip.start_on), camps_off(store, trip.start_on)
    nights = _nights_ahead(outlook)
    return chance_alone(
        limits.fit,
        limits.place_of(bedding),
        bedding.as_limit_c,
        nights if camps is None else camps.nights_as_there(nights),
        0.0 if camps is None else camps.doubt_c,
    )


def _cold_ahead(
    store: Store,
    limits: ColdLimits,
    trip: TripChoice,
    known_on: date,
    drawn: Sequence[str],
) -> ColdAhead:
    """By the own limit where its sleep gear has judged nights, else by its rating.

    The rating is brought to the limit scale.
    """
    outlook, camps = outlook_of_trip(store, trip.trip), camps_off(store, known_on)
    rows = ask(store, "store/trip_bedding", trip=trip.trip)
    bedding = _bedding(rows)
    listed = [row["item"] for row in ask(store, "cold/trip_sleep_list", trip=trip.trip)]
    things = sleep_things(store, trip.start_on)
    drawn = [item for item in drawn if item in things] if not listed else ()
    if drawn:
        bedding = set_of(drawn, things)
    limit = limits.limit_of(bedding) if bedding is not None else None
    why_not = _why_not(trip, outlook, bedding)
    chance, by_normals, if_whole = None, None, None
    lacks = _lacking(listed or drawn, limits, things, trip) if trip.plan else ()
    if why_not is None and isinstance(outlook, Outlook) and bedding is not None:
        chance, by_normals = _chance_in(limits, bedding, outlook, camps)
        if_whole = chance
        whole = _completed(bedding, lacks, things) if lacks else None
        if whole is not None:
            if_whole, _ = _chance_in(limits, whole, outlook, camps)
    return ColdAhead(
        trip=trip,
        outlook=outlook,
        bedding=bedding,
        limit=limit,
        varies=len({tuple(row["items"]) for row in rows}) > 1,
        chance=chance,
        why_not=why_not,
        lacking=lacks,
        camps=camps,
        by_normals=by_normals,
        unmended=_unmended(unmended_by(store, trip.start_on), bedding),
        if_whole=if_whole,
        drawn=bool(drawn),
        to_try=_to_try(store, trip, lacks),
        unrated=unrated_nights(store, listed or drawn, things, known_on),
    )


def _bedding(rows: Sequence[Record]) -> SleepSystem | None:
    """The rated sleep gear of most nights."""
    beds = [system_of(row) for row in rows if row["as_limit_c"] is not None]
    return Counter(beds).most_common(1)[0][0] if beds else None


def _nights_ahead(outlook: Outlook) -> list[NightAhead]:
    return [
        NightAhead(n.normal_low_c, n.sd_c, n.season) for n in outlook.nights if n.sd_c is not None
    ]


def _sets_ahead(
    store: Store, limits: ColdLimits, ahead: ColdAhead, things: Mapping[str, SleepThing]
) -> tuple[SetAhead, ...]:
    """Every sleep set that is owned when the trip begins, the least likely too cold first.

    Those of which no chance is known stand by their limit.
    """
    trip = ahead.trip
    listed = {row["item"] for row in ask(store, "cold/trip_sleep_list", trip=trip.trip)}
    known = _spread_known(trip, ahead.outlook)
    told = {limit.system: limit for limit in limits.limits}
    broken = unmended_by(store, trip.start_on)
    sets = []
    for system in thing_by_thing(owned_sets(limits, things, trip.start_on)):
        chance, by_normals = ahead.chance, ahead.by_normals
        if ahead.bedding is None or ahead.bedding.items != system.items:
            chance, by_normals = None, None
            if known and isinstance(ahead.outlook, Outlook):
                chance, by_normals = _chance_in(limits, system, ahead.outlook, ahead.camps)
        on_list = listed.issuperset(system.items)
        sets.append(
            SetAhead(
                trip=trip,
                limit=told.get(system) or limits.limit_of(system),
                weight_g=_weight_g(things, system.items),
                chance=chance,
                on_list=on_list,
                lacking=ahead.lacking if on_list else (),
                unmended=_unmended(broken, system),
                by_normals=by_normals,
            )
        )
    return tuple(sorted(sets, key=_warmest_first))


def _weight_g(things: Mapping[str, SleepThing], items: Sequence[str]) -> float | None:
    """What the things weigh together; None where one of them is not weighed or not known."""
    weights = [things[item].weight_g if item in things else None for item in items]
    return None if None in weights else sum(w for w in weights if w is not None)


def _chance_in(
    limits: ColdLimits, system: SleepSystem, outlook: Outlook, camps: CampsOff | None
) -> tuple[TooColdChance, float]:
    """The chance in a sleep system on nights whose spread is known, and by the normals alone."""
    place, rated_c, nights = limits.place_of(system), system.as_limit_c, _nights_ahead(outlook)
    if camps is None:
        chance = chance_of_cold_night(limits.fit, place, rated_c, nights)
        return chance, chance.p_any.value
    as_there = camps.nights_as_there(nights)
    chance = chance_of_cold_night(limits.fit, place, rated_c, as_there, camps.doubt_c)
    return chance, chance_alone(limits.fit, place, rated_c, nights)


def _warmest_first(one: SetAhead) -> tuple[bool, float, float, tuple[str, ...]]:
    chance = one.chance.p_any.value if one.chance is not None else 1.0
    return (
        bool(one.lacking or one.unmended),
        chance,
        one.limit.own_limit_c.value,
        one.limit.system.items,
    )


def _lacking(
    listed: Sequence[str],
    limits: ColdLimits,
    things: Mapping[str, SleepThing],
    trip: TripChoice,
) -> tuple[Lacking, ...]:
    if not listed or trip.end_on <= trip.start_on:
        return ()
    return lacking(listed, limits, things, trip.start_on)


def _completed(
    bedding: SleepSystem, lacks: Sequence[Lacking], things: Mapping[str, SleepThing]
) -> SleepSystem | None:
    """The sleep gear of a list with what it lacks."""
    return set_of({*bedding.items, *(one.thing.item for one in lacks if one.thing)}, things)


def _unmended(broken: Mapping[str, Unmended], system: SleepSystem | None) -> tuple[Unmended, ...]:
    items = system.items if system is not None else ()
    return tuple(broken[item] for item in items if item in broken)


def _to_try(store: Store, trip: TripChoice, lacks: Sequence[Lacking]) -> tuple[Chore, ...]:
    along = {one.thing.item for one in lacks if one.thing and one.why == "left_out"}
    if not along:
        return ()
    chores = upkeep(store, trip.start_on, along=along, before=trip)
    failed = {each.item: each for each in reversed(chores) if each.kind in TO_TRY}
    return tuple(failed.values())


def _why_not(
    trip: TripChoice, outlook: Outlook | NoStation, bedding: SleepSystem | None
) -> str | None:
    if trip.end_on <= trip.start_on:
        return "no_nights"
    if bedding is None:
        return "no_bedding"
    if isinstance(outlook, NoStation):
        return "no_station"
    return None if _spread_known(trip, outlook) else "no_spread"


def _spread_known(trip: TripChoice, outlook: Outlook | NoStation) -> bool:
    """Whether normals tell of every night how far it strays; of a trip without one they do not."""
    if isinstance(outlook, NoStation) or trip.end_on <= trip.start_on:
        return False
    known = [night for night in outlook.nights if night.sd_c is not None]
    return len(known) == (trip.end_on - trip.start_on).days
