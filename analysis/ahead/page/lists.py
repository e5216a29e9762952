"""The lists of a trip to come: what to do before leaving, and what to pack."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...cold import words as cold_words
from ...cold.camps import CampsOff
from ...cold.words import TAKE_WARMER
from ...display.cautions import (
    BIKE_LOAD_CARE,
    BOAT_LOAD_CARE,
    LIST_CARE,
    WATER_CARE,
)
from ...display.checklist import Checklist, Task
from ...display.sections import Section
from ...display.tables import Table, text
from ...display.thing_names import listed
from ...display.words import (
    Display,
    count,
    label,
    listing,
    one_in,
    quoted,
    sum_mass,
)
from ...store.scope import may_go_afloat
from ...store.trip_choice import TripChoice
from ...wear.chores import LOOKS, TO_DO, chore_cautions, chore_lists, how_much_to_do
from ..before_trip import BeforeTrip
from ..packing import PackedGroup, PackedThing, Packing
from ..unlike import of_trips_before
from ..weather import MeantFor
from . import amount_words as much
from . import words as say

if TYPE_CHECKING:
    from .page import BeforeTripPage

READY = f"{TO_DO} before leaving"
PACK = "What to pack"
_TOGETHER = 12
"""So many things of a bag stand together where the page breaks into columns."""
_IN_SIGHT = 40
"""A list of more things than this is opened bag by bag."""
_AT_ONCE = 2
"""A list of chores of more things than this begins as its heading; what is broken never does."""
_PLACES = {
    "worn": "Worn",
    "loose": "In no bag",
}


def ready_section(page: "BeforeTripPage") -> Section:
    """What to mend, try, check, charge, weigh and buy, of what comes along."""
    lists = tuple(
        replace(each, folds=each.heading in LOOKS and each.things > _AT_ONCE, names_few=True)
        for each in ready_lists(page)
    )
    if page.data is None or not lists:
        return Section.empty(READY, "a chore")
    # What is folded comes last, below the columns of the others.
    lists = tuple(sorted(lists, key=lambda each: each.folds))
    return Section(
        READY,
        (to_do(page),),
        more=lists,
        notes=(
            "Only batteries whose capacity you noted are named: charge lights, phone and beacon, "
            "too.",
        ),
        caution=" ".join(chore_cautions(page.data.chores)) or None,
    )


def to_do(page: "BeforeTripPage") -> str:
    """How many things wait to be seen to, each counted once, as a sentence."""
    lists = ready_lists(page)
    names = {chore.name for chore in page.data.chores} if page.data is not None else set()
    # What is looked over stands by system there: its things are chores, and named already.
    others = (each for each in lists if each.heading not in LOOKS)
    names |= {task.what for each in others for task in each.tasks if task.things == 1}
    return how_much_to_do(lists, len(names), "of this list")


def ready_lists(page: "BeforeTripPage") -> tuple[Checklist, ...]:
    """The checklists of that section, those without a task left out."""
    if page.data is None:
        return ()
    data, display = page.data, page.display
    more = tuple(
        Task(
            much.need_name(need),
            of_trips_before(much.to_buy(need, data.packing, display), data.ahead.unlike),
        )
        for need in page.needs
        if need.unit == "g" and not need.in_system and not much.does(need)
        if need.trips or need.on_list is not None
    )
    gone = tuple(Task(e.thing.name, "given up since") for e in data.packing.things if e.given_up)
    weigh = () if data.packing.source == "gear" else tuple(map(Task, data.load.unweighed[:12]))
    lists = (
        *chore_lists(data.chores),
        Checklist("Replace: on the list, but given up", gone),
        Checklist("Take more than the list has", more),
        Checklist("Weigh", weigh),
    )
    return tuple(each for each in lists if each.tasks)


def packing_section(page: "BeforeTripPage") -> Section:
    """What to take, by bag, each with a box to tick."""
    if page.data is None or not page.data.packing.things:
        return Section.empty(PACK, "a list, a like trip with one, or a thing in gear.csv")
    packing, display = page.data.packing, page.display
    groups = packing.groups()
    folds = len(groups) > 1 and sum(len(group.things) for group in groups) > _IN_SIGHT
    lists = tuple(
        Checklist(
            _heading(group, page),
            tuple(
                Task(
                    say.thing_name(each),
                    _about(each, page.data, display),
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
    return Section(
        PACK,
        _head(packing, page.data.ahead.trip, page),
        more=(*lists, *([weather] if weather is not None else [])),
        notes=_unlisted(page),
        caution=" ".join(care) or None,
    )


def _about(each: PackedThing, data: BeforeTrip, display: Display) -> str:
    """What to know of a thing; of the bag of a likely too cold night the chance of one, too."""
    item, cold = each.thing.item, data.cold
    about = say.thing_about(each, display, data.broken.get(item), data.home)
    if cold.told is None or cold.limit is None or item != cold.limit.system.rated_item:
        return about
    if cold.told.p_any.value < TAKE_WARMER:
        return about
    return f"{about}, chance of a too cold night in it {one_in(cold.told.p_any.value)}"


def _gaps(page: "BeforeTripPage") -> tuple[str, ...]:
    """What keeps one warm, dry, lit, found, fed or healed and is not on the list of its own."""
    data = page.data
    if data is None or data.packing.source != "list":
        return ()
    bare = [each for each in data.missing if each.lifeline and each.item is not None]
    gaps = [f"Not on this list: {quoted([each.what])}. {each.reason}".strip() for each in bare]
    if not any(each.lifeline in ("sleep", "ground", "bedding") for each in bare):
        gaps += cold_words.lacking_sentences(data.cold.lacking)
    warmer = cold_words.warmer_to_take(data.cold)
    if warmer is not None:
        gaps.append(f"Not on this list: {quoted([warmer])}, which is warmer.")
    return tuple(gaps)


def _stays_on(each: PackedThing, page: "BeforeTripPage") -> bool:
    """Whether the record does not say that it could stay at home on this trip."""
    return page.data is None or each.thing.item not in page.data.home.items


def _boxless(page: "BeforeTripPage") -> tuple[str, ...]:
    if page.data is None or not page.data.home.items & page.data.packing.items:
        return ()
    return ("What could stay at home has no box.",)


def _head(packing: Packing, chosen: TripChoice, page: "BeforeTripPage") -> tuple[str, ...]:
    """What keeps safe and is not on it, where the list comes from, and what has no box."""
    first, *rest = source_words(packing, chosen)
    return (" ".join((*_gaps(page), first, *_boxless(page))), *rest)


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
            "things": listed(group.names),
        }
        for group in groups
    ]
    columns = (text("for", "Meant for"), text("odds", "How likely"), text("things", "On the list"))
    caption = "What the weather may call for, all of which stays on the list"
    noun, nouns = "kind of weather", "kinds of weather"
    return Table.of(columns, rows, noun, nouns=nouns, caption=caption, fold_after=0, stacks=True)


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


def _heading(group: PackedGroup, page: "BeforeTripPage") -> str:
    """The place and what goes into it weighs: "Frame bag: 2.31 kg"."""
    systems = {each.thing.system for each in group.things} & {"bike", "boat"}
    name = {
        "vehicle": f"On the {' or '.join(sorted(systems)) or 'bike or boat'}, in no bag",
        "bag": f"{group.name[:1].upper()}{group.name[1:]}",
        "system": label(group.name) if group.kind == "system" else "",
        "other": f"Carried by {group.name}",
    }.get(group.kind) or _PLACES.get(group.kind, group.name)
    grams = [each.row_g for each in group.things if not each.is_amount_open]
    known = sum(g for g in grams if g is not None)
    if group.kind == "other" or not known:
        return name
    weighs = f"{name}: {sum_mass(known, page.display, at_least=None in grams)}"
    itself = group.kind == "bag" and not group.things[0].thing.bag
    return f"{weighs} with the bag itself" if itself else weighs
