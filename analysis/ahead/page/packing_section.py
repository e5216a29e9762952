"""The list to pack by: what is not on it yet, then each bag, a box to tick beside each thing."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ....tripdata.names import folded
from ...cold import words as cold_words
from ...cold.camps import CampsOff
from ...cold.words import TAKE_WARMER
from ...display.cautions import BIKE_LOAD_CARE, BOAT_LOAD_CARE, LIST_CARE, WATER_CARE
from ...display.checklist import Checklist, Task
from ...display.sections import Section
from ...display.tables import Table, text
from ...display.thing_names import in_marks, listed
from ...display.words import Display, count, label, listing, one_in, quoted, sum_mass, thing_mass
from ...store.scope import may_go_afloat
from ...store.trip_choice import TripChoice
from ...weigh_up.bags import BagLoad
from ...weigh_up.words import uneven_sides
from ..before_trip import BeforeTrip
from ..packing import PackedGroup, PackedThing, Packing
from ..unlike import nearest_not_like, of_trips_before
from ..weather import MeantFor
from . import amount_words as much
from . import words as say
from .sheet_words import PackAmount, pack_amount

if TYPE_CHECKING:
    from .page import BeforeTripPage

PACK = "What to pack"
NOT_YET = "Not on the list yet"
_TOGETHER = 12
"""So many things of a bag stand together where the page breaks into columns."""
_IN_SIGHT = 40
"""A list of more things than this is opened bag by bag."""
_PLACES = {
    "worn": "Worn",
    "loose": "In no bag",
}
_SURE = ("system", "needed_by")
"""Why a thing is missing for sure, beside what no list is to lack; all else is only likely."""
_ASLEEP = ("sleep", "ground", "bedding")


def packing_section(page: "BeforeTripPage") -> Section:
    """What to take, by bag, each with a box to tick."""
    if page.data is None or not page.data.packing.things:
        return Section.empty(PACK, "a list, a like trip with one, or a thing in gear.csv")
    packing, display = page.data.packing, page.display
    groups = packing.groups()
    folds = len(groups) > 1 and sum(len(group.things) for group in groups) > _IN_SIGHT
    amounts = _amounts(page)
    not_yet = Checklist(NOT_YET, tuple(not_listed(page)), folds=folds, names_few=True)
    lists = tuple(
        Checklist(
            _heading(group, page),
            tuple(
                Task(
                    say.thing_name(each),
                    _about(each, page.data, display, amounts.get(id(each))),
                    box=_stays_on(each, page),
                )
                for each in group.things
            ),
            part=_TOGETHER,
            folds=folds,
        )
        for group in groups
    )
    weather = _weather_table(page.data.weather, page.data.cold.camps, display)
    # That of the weather stands at the head of the page, before all of this.
    care = [] if page.data.missing else [LIST_CARE]
    care += [BIKE_LOAD_CARE] if page.data.ahead.trip.mode in ("bike", "ebike", "mixed") else []
    # All that is owned is no list for a trip.
    rows = packing.things if packing.source != "gear" else ()
    systems = {each.thing.system for each in rows}
    afloat = may_go_afloat([page.data.ahead.trip.mode], systems)
    care += [BOAT_LOAD_CARE, WATER_CARE] if afloat else []
    care += uneven_sides(_sides(groups, page), display)
    return Section(
        PACK,
        _head(packing, page.data.ahead.trip, page),
        more=(
            *([not_yet] if not_yet.tasks else []),
            *lists,
            *([weather] if weather is not None else []),
        ),
        notes=_unlisted(page),
        caution=" ".join(care) or None,
    )


def not_listed(page: "BeforeTripPage") -> Iterator[Task]:
    """What a list of its own lacks and is to be taken for sure, each with its weight where known.

    That is what keeps one warm, dry, lit, found, fed or healed and what its things need; a sleep
    set's missing part and a warmer set, as the head of the page names them; and what is eaten or
    burnt of which it has nothing. What is only likely is not among it.
    """
    data = page.data
    if data is None or data.packing.source != "list":
        return
    sure = [
        each
        for each in data.missing
        if each.item is not None and (each.lifeline or each.why in _SURE)
    ]
    named = {each.item for each in sure}
    for each in sure:
        yield Task(each.what, f"{_weighs(each.item or '', page)}{each.reason}")
    if not any(each.lifeline in _ASLEEP for each in sure):
        yield from _lacking_asleep(data, page)
    best = data.cold.sets[0].limit.system if data.cold.sets else None
    warmer = cold_words.warmer_to_take(data.cold)
    limit = data.cold.limit
    if warmer and best and limit and best.rated_item not in named:
        less = in_marks(limit.system.rated_name)
        yield Task(warmer, f"{_weighs(best.rated_item, page)}Warmer than {less}.")
    systems = {each.thing.system for each in data.packing.things}
    systems |= {each.lifeline or "" for each in sure}
    for need in much.to_take_more(page.needs):
        lacks = need.system not in systems if need.item is None else need.item not in named
        if lacks and need.item not in data.packing.items:
            take = pack_amount(need, data, page.display).beside("")
            yield Task(much.need_name(need), of_trips_before(take, data.ahead.unlike))


def _lacking_asleep(data: BeforeTrip, page: "BeforeTripPage") -> Iterator[Task]:
    """What the sleep set lacks: what took over from it, the thing itself, or one like it."""
    for one in data.cold.lacking:
        why = " ".join(cold_words.lacking_sentences([one]))
        if one.thing is None:
            yield Task("Something to lie on", why)
        elif one.successor is not None:
            yield Task(one.successor, why)
        elif one.why == "left_out":
            yield Task(one.thing.name, f"{_weighs(one.thing.item, page)}{why}")
        else:
            yield Task(f"Something in place of {in_marks(one.thing.name)}", why)


def _weighs(item: str, page: "BeforeTripPage") -> str:
    """ "480 g. ": what a thing at home weighs, blank where that is not known."""
    grams = page.data.weights_g.get(item) if page.data is not None else None
    return "" if grams is None else f"{thing_mass(grams, page.display)}. "


def _amounts(page: "BeforeTripPage") -> dict[int, PackAmount]:
    """What such a trip takes of what is eaten or burnt, by the row at which it is told.

    A row is told by its identity. An amount of several things together stands at the heaviest.
    """
    told: dict[int, PackAmount] = {}
    if page.data is None:
        return told
    for need in page.needs:
        rows = [each for each in page.data.packing.things if much.is_row_of(need, each)]
        if rows and need.unit == "g" and not need.in_system:
            first = max(rows, key=lambda each: each.row_g or 0.0)
            told[id(first)] = pack_amount(need, page.data, page.display)
    return told


def _about(each: PackedThing, data: BeforeTrip, display: Display, amount: PackAmount | None) -> str:
    """What to know of a thing; of the bag of a likely too cold night the chance of one, too.

    ``amount``: what such a trip takes of it, missing where that is not asked.
    """
    item, cold = each.thing.item, data.cold
    about = say.thing_about(each, display, data.broken.get(item), data.home)
    if amount is not None:
        weighs = "" if each.row_g is None else thing_mass(each.row_g, display)
        listed = f"{weighs} on the list{about.removeprefix(weighs)}" if weighs else about
        return of_trips_before(amount.beside(listed), data.ahead.unlike)
    judged = cold.told or cold.if_whole
    if judged is None or cold.limit is None or item != cold.limit.system.rated_item:
        return about
    if judged.p_any.value < TAKE_WARMER:
        return about
    whole = "" if cold.told is not None else f" {cold_words.with_what_it_lacks(cold)}"
    return f"{about}, chance of a too cold night in it{whole} {one_in(judged.p_any.value)}"


def _stays_on(each: PackedThing, page: "BeforeTripPage") -> bool:
    """Whether the record does not say that it could stay at home on this trip."""
    return page.data is None or each.thing.item not in page.data.home.items


def _boxless(page: "BeforeTripPage") -> tuple[str, ...]:
    if page.data is None or not page.data.home.items & page.data.packing.items:
        return ()
    return ("What could stay at home has no box, and no weight below counts it.",)


def _head(packing: Packing, chosen: TripChoice, page: "BeforeTripPage") -> tuple[str, ...]:
    """Where the list comes from, and what has no box."""
    first, *rest = source_words(packing, chosen)
    if packing.source != "gear" and page.data is not None and page.data.ahead.unlike is not None:
        first = nearest_not_like(first)
    return (" ".join((first, *_boxless(page))), *rest)


def _unlisted(page: "BeforeTripPage") -> tuple[str, ...]:
    if page.data is None or not page.data.unlisted:
        return ()
    names = quoted(page.data.unlisted, at_most=6)
    them = "it" if len(page.data.unlisted) == 1 else "them"
    return (f"You own {names}, but neither this list nor a like trip’s has {them}.",)


def _weather_table(
    groups: Sequence[MeantFor], camps: CampsOff | None, display: Display
) -> Table | None:
    """What on the list is meant for certain weather, and how likely that is."""
    if not groups:
        return None
    rows = [
        {
            "for": listing(
                [say.condition_name(each, display) for each in group.conditions], last="or"
            ),
            "odds": "; ".join(say.condition_odds_words(each, camps) for each in group.conditions),
            "things": _on_it_or_not(group),
        }
        for group in groups
    ]
    columns = (text("for", "Meant for"), text("odds", "How likely"), text("things", "On the list"))
    caption = "What the weather may call for, none of which is to stay at home"
    noun, nouns = "kind of weather", "kinds of weather"
    return Table.of(columns, rows, noun, nouns=nouns, caption=caption, fold_after=0, stacks=True)


def _on_it_or_not(group: MeantFor) -> str:
    """What of it is on the list, and what is not yet."""
    lacks = f"not on it yet: {listed(group.missing)}" if group.missing else ""
    return "; ".join(filter(None, (listed(group.names), lacks)))


def source_words(packing: Packing, chosen: TripChoice) -> tuple[str, ...]:
    """Where the list comes from, and how the trip gets one of its own."""
    trip = chosen.trip
    things = count(len(packing.items), "thing")
    if packing.source == "list":
        which = "the plan’s list" if chosen.plan else "its list"
        verb = "is" if len(packing.items) == 1 else "are"
        if len(packing.things) > len(packing.items):
            # A thing may stand in two bags.
            different = count(len(packing.items), "different thing")
            things = f"{different} in {count(len(packing.things), 'line')}"
        return (f"{things[:1].upper()}{things[1:]} {verb} on {which}.",)
    if packing.source == "gear":
        return (
            "Nothing is listed for this trip, and no like trip has a list: this is everything that "
            "you own.",
            f"The command “tarebook new LOGBOOK --trip {trip}” lays out a list to delete from.",
        )
    trips = quoted([trip.title for trip in packing.like[::-1]], at_most=3)
    return (
        f"Nothing is listed for this trip yet: this is what at least half of {_like(packing)} had "
        "along.",
        f"The more alike a trip is, the more it counts ({trips}). What was given up is replaced by "
        "what took over from it.",
        f"The command “tarebook new LOGBOOK --trip {trip}” lays out a list of its own, for you to "
        "change (carried.csv).",
    )


def _like(packing: Packing) -> str:
    many = len(packing.like)
    return "the one like trip" if many == 1 else f"{many} like trips"


def _sides(
    groups: Sequence[PackedGroup], page: "BeforeTripPage"
) -> Iterator[tuple[BagLoad, BagLoad]]:
    """The bags of two sides, each by its name and weight as its heading has them."""
    bags = page.data.load.bags if page.data is not None else None
    by_name = {folded(group.name): group for group in groups if group.kind == "bag"}
    for one, other in bags.pairs if bags is not None else ():
        if {folded(one.name), folded(other.name)} <= by_name.keys():
            yield (
                _with_boxes(one, by_name[folded(one.name)], page),
                _with_boxes(other, by_name[folded(other.name)], page),
            )


def _with_boxes(load: BagLoad, group: PackedGroup, page: "BeforeTripPage") -> BagLoad:
    """A bag with what of it has a box alone."""
    boxed = [each for each in group.things if _stays_on(each, page)]
    mg = {id(each): round((each.row_g or 0.0) * 1000) for each in boxed}
    itself = [mg[id(each)] for each in boxed if not each.thing.bag]
    return replace(
        load,
        name=f"{load.name[:1].upper()}{load.name[1:]}",
        contents_mg=sum(mg.values()) - sum(itself),
        itself_mg=sum(itself) if itself else None,
        unweighed=sum(each.row_g is None for each in boxed),
    )


def _heading(group: PackedGroup, page: "BeforeTripPage") -> str:
    """The place, and what of it that has a box weighs: "Frame bag: 2.31 kg"."""
    systems = {each.thing.system for each in group.things} & {"bike", "boat"}
    name = {
        "vehicle": f"On the {' or '.join(sorted(systems)) or 'bike or boat'}, in no bag",
        "bag": f"{group.name[:1].upper()}{group.name[1:]}",
        "system": label(group.name) if group.kind == "system" else "",
        "other": f"Carried by {group.name}",
    }.get(group.kind) or _PLACES.get(group.kind, group.name)
    boxed = [each for each in group.things if _stays_on(each, page)]
    grams = [each.row_g for each in boxed if not each.is_amount_open]
    known = sum(g for g in grams if g is not None)
    if group.kind == "other" or not known:
        return name
    weighs = f"{name}: {sum_mass(known, page.display, at_least=None in grams)}"
    itself = group.kind == "bag" and not boxed[0].thing.bag
    return f"{weighs} with the bag itself" if itself else weighs
