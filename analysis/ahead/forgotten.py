"""What the list of the trip ahead may lack: things that such trips had along, ranked by regret."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from ..store.rows import Store
from ..store.settings import settings_of
from ..usage.conditions import Meaning
from ..usage.costs import cost_of
from ..wear.unmended import Unmended, unmended_by
from ..wear.words import not_mended
from . import missing_words as words
from .along import LikeLists
from .asked import ListAsked, asked_of, needed_alone, needed_by_list, standing_for
from .called_for import CalledFor, called_for, left_with_cover
from .lifelines import WHOLE_SYSTEMS, Lifeline, lacking_lifelines, lifelines_first
from .regret import about, p_needed
from .results import MayBeMissing, TripAhead, Why
from .stays_home import StaysHome, stays_at_home
from .unlike import are_alike, nearest_not_like
from .warm_things import warmest_missing
from .wished import missed_at_home, wished_unowned

NEARLY_ALWAYS = 0.7
"""From so high a chance of being along on a thing is named for that alone."""
MORE_OFTEN_THAN_NOT = 0.5
"""The same of what is essential or insurance, if its owner says nothing else: shelter, sleep,
water, rain, first aid, safety, navigation, fire, repair."""
SILENCES = 0.5
"""So likely, as a share of a thing's own chance, must another be on like trips to stand in."""
NEARLY_ALL = 0.9
"""So much of the like trips' weight had a system: then it is missed as a whole."""
FEWEST_HAD = 2
"""On so many like trips at least it, or something of its system, must have been along."""
AT_MOST = 12
EITHER = 0.5
"""Of a trip like none before nobody knows what it has along; so much it is ranked by."""


def forgotten_of(
    store: Store, ahead: TripAhead, home: StaysHome | None = None
) -> tuple[MayBeMissing, ...]:
    """What may be missing from the trip's list, at most twelve, in the order of every page.

    What no list is to lack stands first (`lifelines_first`), then the largest expected regret.

    Of what is at hand when the trip begins, is not on its list and not let go by the cull for it
    (``home``, by default asked anew). A thing is named for the first of these that holds: the list
    has nothing of what keeps dry, warm, lit, supplied or healed (`lifelines`; that is always among
    the twelve); something on the list needs it (then p_along is 1); it keeps warm or dry, is meant
    for weather that the trip brings more likely than not, and nothing along does its work
    (`called_for`; of that what the cull lets go is named as well, where nothing of its system for
    such weather is along); nearly all like trips had something of its system and the list has
    nothing (of these things the likeliest); its chance of being along (`along`) is .7 or more, or
    that of it and others that stand in for it, and two like trips at least, two in three of them,
    had it (of what is essential or insurance: .5, and half of them); it was missed on a like trip.
    What was wished for twice, or once much or badly, and is not owned comes last, without figures.
    Nothing is missing from an empty list.

    Where no trip before is like this one, or they hardly are, what keeps warm, dry, lit, found,
    fed, healed or afloat and was along on .7 of all trips is named, too, and the warmest clothing
    where the list has none as warm; what so protects then comes first. Where there is no like trip
    at all the chance of being along is missing, and the expected regret with it, but of what
    something on the list needs.

    Not named: what has its successor, its predecessor or a stand-in on the list (unless something
    needs it), and borrowed things that on like trips only others carried; but who goes alone is
    told of the shelter, sleep, water or rain system that others lent and carried.
    """
    if not ahead.listed:
        return ()
    asked = asked_of(store, ahead, stays_at_home(store, ahead) if home is None else home)
    regret = settings_of(store).regret
    broken = unmended_by(store, ahead.trip.start_on)
    reasons = _reasons(store, ahead, asked)
    named = [_weighed(asked, item, why, regret, broken) for item, why in reasons.items()]

    def by_regret(one: MayBeMissing) -> tuple[bool, float, str]:
        item = one.item or ""
        along = EITHER if one.p_along is None else one.p_along
        expected = along * (one.p_needed or 0.0) * cost_of(about(asked.gear[item]), regret)
        return asked.far and not asked.protects(item), -round(expected, 9), item

    named = lifelines_first(sorted(named, key=by_regret))[:AT_MOST]
    wished = [
        MayBeMissing(0, None, what, "wished", words.wished_for(titles, much), None, None, None)
        for what, titles, much in wished_unowned(asked.wishes, asked.gear, asked.known)
    ]
    every = [*named, *wished][:AT_MOST]
    if not are_alike(ahead.like, ahead.unlike):
        every = [replace(one, reason=nearest_not_like(one.reason)) for one in every]
    return tuple(replace(one, rank=rank) for rank, one in enumerate(every, start=1))


@dataclass(frozen=True, slots=True)
class _Reason:
    """Why a thing is named; ``needed``: something on the list needs it."""

    why: Why
    words: str
    needed: bool = False
    lifeline: str | None = None


def _reasons(store: Store, ahead: TripAhead, asked: ListAsked) -> dict[str, _Reason]:
    """What is named and why, by item."""
    known, listed = asked.known, asked.listed
    needed = needed_by_list(asked)
    gone = (asked.home.items | asked.borne) - needed.keys()
    owned_listed = sorted(listed & known.at_hand)
    open_ = [
        item
        for item in sorted(known.at_hand - listed - gone)
        if item in needed
        or not (
            asked.related(item, owned_listed)
            or any(_does_as_well(known, item, other) for other in owned_listed)
        )
    ]
    borne = needed_alone(asked)
    system = _system_missing(asked, {*open_, *borne})
    open_ = sorted({*open_, *(borne & system)})
    warmest = _warmest(asked, gone) if asked.far else None
    open_ = sorted({*open_, *([warmest] if warmest is not None else [])})
    missed = missed_at_home(asked.wishes, asked.gear, known)
    own = [item for item in standing_for(asked, open_, gone) if asked.gear[item]["owner"] is None]
    bare = lacking_lifelines(asked.gear, owned_listed, own, known, asked.nights, asked.mode)
    staying = {*owned_listed, *bare, *needed} - asked.home.items
    left = left_with_cover(asked) | asked.borne
    called = called_for(store, ahead, asked, staying, left - needed.keys())
    open_ = sorted({*open_, *bare, *called})
    told = {one.kind for one in bare.values()}.intersection(WHOLE_SYSTEMS)
    system = frozenset(item for item in system if asked.gear[item]["system"] not in told)
    reasons: dict[str, _Reason] = {}
    for item in open_:
        along = known.of[item]
        if item in bare and not (item in needed and bare[item].kind in WHOLE_SYSTEMS):
            reasons[item] = _bare(asked, bare[item], item in needed)
        elif item in needed:
            user = needed[item]
            why = words.needed_by(asked.name(user), user in listed, along)
            line = bare.get(item) or called.get(item)
            kind = line.kind if line is not None else None
            reasons[item] = _Reason("needed_by", why, needed=True, lifeline=kind)
        elif item in called:
            reasons[item] = _in_weather(asked, called[item])
        elif item in system:
            name = asked.gear[item]["system"]
            why = words.system_missing(name, known.had_system(name), len(known.like))
            reasons[item] = _Reason("system", why)
        elif _usually(asked, item):
            reasons[item] = _nearly_always(asked, item)
        elif others := _stand_ins(asked, item, open_):
            had, of, _ = known.either([item, *others])
            names = [asked.name(other) for other in others]
            reasons[item] = _Reason("like_trips", words.like_trips_had_either(had, of, names))
        elif item == warmest or _on_record(asked, item):
            reasons[item] = _by_record(asked, item, is_warmest=item == warmest)
        elif item in missed:
            reasons[item] = _Reason("missed", words.missed_on(missed[item]))
    return reasons


def _warmest(asked: ListAsked, gone: Collection[str]) -> str | None:
    """The warmest clothing that is owned, where the list has none as warm: nothing stands in."""
    listed = sorted(asked.listed & asked.known.at_hand)
    own = (i for i in asked.known.at_hand - asked.listed if asked.gear[i]["owner"] is None)
    among = [i for i in own if i not in gone and not asked.related(i, listed)]
    return warmest_missing(asked.gear, listed, among)


def _on_record(asked: ListAsked, item: str) -> bool:
    """Whether it protects and nearly all trips had it, where none of them is like this one."""
    had, of, _ = asked.known.on_record(item)
    often = had >= FEWEST_HAD and had >= NEARLY_ALWAYS * of
    return asked.far and often and asked.protects(item)


def _by_record(asked: ListAsked, item: str, *, is_warmest: bool) -> _Reason:
    kind = "clothing" if is_warmest else None
    if not _on_record(asked, item):
        return _Reason("record", words.nothing_as_warm(), lifeline=kind)
    none_like = asked.unlike or not asked.known.like
    told = words.record_had(*asked.known.on_record(item), none_like=none_like)
    return _Reason("record", told, lifeline=kind)


def _does_as_well(known: LikeLists, item: str, other: str) -> bool:
    """Whether another thing stands in for it on trips like this one, not on those of a season.

    A summer quilt does not silence the winter bag that like trips had.
    """
    likely = known.of[other].chance >= SILENCES * known.of[item].chance
    return likely and known.one_for_another(item, other)


def _system_missing(asked: ListAsked, among: Collection[str]) -> frozenset[str]:
    """Of every system that all like trips had and the list lacks, the likeliest thing."""
    known = asked.known
    if len(known.like) < FEWEST_HAD:
        return frozenset()
    listed = {asked.gear[item]["system"] for item in asked.listed}
    most: dict[str, str] = {}
    for item in sorted(among, key=lambda i: (-known.of[i].chance, i)):
        system = asked.gear[item]["system"]
        if system not in listed and known.system_share(system) >= NEARLY_ALL:
            most.setdefault(system, item)
    return frozenset(most.values())


def _often(had: int, of: int) -> bool:
    """Whether so many trips are enough to go by: two, and two in three, however alike they are."""
    return had >= FEWEST_HAD and 3 * had >= 2 * of


def _usually(asked: ListAsked, item: str) -> bool:
    """Whether like trips nearly always had it or, of what is essential, more often than not."""
    along = asked.known.of[item]
    if along.chance >= NEARLY_ALWAYS and _often(along.had, along.of):
        return True
    half = along.chance >= MORE_OFTEN_THAN_NOT and 2 * along.had > along.of
    row = asked.gear[item]
    return bool(row["essential"] or row["insurance"]) and half and along.had >= FEWEST_HAD


def _bare(asked: ListAsked, lacks: Lifeline, needed: bool) -> _Reason:
    """Why a thing stands for a kind of which the list has nothing."""
    why = _successor(asked, lacks.item)
    if why is None:
        others = [asked.name(other) for other in lacks.others]
        told = words.lifeline_missing(lacks, asked.known.of[lacks.item], others)
        why = _Reason("system", told)
    return replace(why, needed=needed, lifeline=lacks.kind)


def _in_weather(asked: ListAsked, called: CalledFor) -> _Reason:
    """Why a thing that keeps warm or dry is named, with the chance of its weather."""
    others = [asked.name(other) for other in called.others]
    return _Reason("weather", words.weather_calls(called.by, others), lifeline=called.kind)


def _nearly_always(asked: ListAsked, item: str) -> _Reason:
    known = asked.known
    had = words.like_trips_had(known.of[item], len(known.like))
    return _successor(asked, item) or _Reason("like_trips", had)


def _successor(asked: ListAsked, item: str) -> _Reason | None:
    """Whether it is missing for what it took over from, and how that is told."""
    known = asked.known
    along = known.of[item]
    before = sorted(known.before_it[item])
    if given_up := [asked.name(old) for old in before if old in asked.listed]:
        return _Reason("successor", words.took_over_from_listed(given_up))
    if 2 * along.inherited > along.had:
        names = [asked.name(old) for old in before]
        return _Reason("successor", words.took_over(along, names))
    return None


def _stand_ins(asked: ListAsked, item: str, among: Collection[str]) -> list[str]:
    """Others, none of them on the list either, of which like trips nearly always had it or one.

    Empty where one of those is likelier to be along, which is named in its place.
    """
    known = asked.known
    others = [
        other
        for other in among
        if known.one_for_another(item, other) or known.one_for_another(other, item)
    ]
    if not others:
        return []
    first = min([item, *others], key=lambda i: (-known.of[i].chance, i))
    had, of, chance = known.either([item, *others])
    enough = first == item and chance >= NEARLY_ALWAYS and _often(had, of)
    return others if enough else []


def _weighed(
    asked: ListAsked,
    item: str,
    why: _Reason,
    regret: Mapping[str, float],
    broken: Mapping[str, Unmended],
) -> MayBeMissing:
    """A thing with its figures, not yet ranked. ``regret``: the owner's costs by system."""
    row = asked.gear[item]
    reason = why.words
    if item in broken:
        reason = f"{reason} {not_mended(broken[item])}"
    p_along = asked.known.of[item].chance if asked.known.like else None
    p_along = 1.0 if why.needed else p_along
    needed = p_needed(asked.home, asked.known, row, far=asked.far)
    expected = None if p_along is None else round(p_along * needed * cost_of(about(row), regret), 9)
    return MayBeMissing(
        rank=0,
        item=item,
        what=row["name"],
        why=why.why,
        reason=reason,
        p_along=p_along,
        p_needed=needed,
        expected_regret=expected,
        lifeline=why.lifeline,
        broken=broken.get(item),
        system=row["system"],
        meaning=Meaning.of(row["meant_for"], row["cold_below_c"]),
    )
