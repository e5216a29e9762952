"""Sentences of the weigh-up."""

from ...display.cautions import WATER_CARE
from ...display.thing_names import in_marks, named
from ...display.words import (
    Display,
    count,
    days,
    label,
    listing,
    mass,
    mass_apart,
    percent,
)
from ...store.scope import may_go_afloat
from ..bags import Bags
from ..comparison import Comparison
from ..guarding import guarding_first
from ..results import OF_VEHICLES, WITHOUT_VEHICLES, Total, WeighUp
from ..words import (
    fixed_words,
    limit_words,
    nothing,
    sides_words,
    total_scale,
    vehicle_words,
)
from .shown import groups_shown, total_g, whole_load

SHOWN = 4
"""So many names that were left out stand in a sentence, or all that keep safe, dry or warm."""
NO_ADVICE = (
    "These are sums, no advice. What a thing weighs says nothing of what it is for: whatever keeps "
    "you warm, dry, lit, found, fed, healed or afloat stays on the list."
)
LOAD_CARE = (
    "A limit shown here is your own; the maker’s stand on bag, rack, bike and boat, and some count "
    "the rider or paddler, too. Weight on the handlebar, far out or on one side changes how a bike "
    "steers and brakes; in a boat it changes the trim, and how she rolls. Load heavy things low, "
    "near the middle and alike on both sides, tie them down, and try it near home or the shore."
)


def load_care(weighed: WeighUp) -> str:
    """What can hurt of a load; of a trip's list with something of a boat, the water, too."""
    if not weighed.rows:
        return ""
    systems = {row.system for row in (*weighed.rows, *weighed.left_out)}
    afloat = weighed.trip is not None and may_go_afloat([weighed.trip.mode], systems)
    return f"{LOAD_CARE} {WATER_CARE}" if afloat else LOAD_CARE


def subject(weighed: WeighUp) -> str:
    """What is weighed: "Everything that you own", "What is left of the list of “The lake”"."""
    whole = "everything that you own"
    if weighed.trip is not None:
        whole = f"the list of “{weighed.trip.title}”"
    elif weighed.left_out:
        whole = "all that you own"
    text = f"what is left of {whole}" if weighed.left_out else whole
    return f"{text[:1].upper()}{text[1:]}"


def short_name(weighed: WeighUp) -> str:
    """The same at the head of a column."""
    return "Everything" if weighed.trip is None else weighed.trip.title


def lines(weighed: WeighUp) -> tuple[str, ...]:
    """What it is, in a line below the title."""
    things = count(len({row.item for row in weighed.rows}), "thing")
    if weighed.trip is None:
        return (f"{subject(weighed)} and have not given up · {things}",)
    plan = " · a plan" if weighed.trip.plan else ""
    return (f"{days(weighed.trip.start_on, weighed.trip.end_on)}{plan} · {things}",)


def total_text(weighed: WeighUp, total: Total, display: Display) -> str:
    """A total in kg or lb, "at least" where something of it is not weighed or could not be read."""
    lower = total.unweighed > 0 or weighed.unread > 0
    text = whole_load(weighed, display).scale.text(total_g(weighed, total, display))
    return f"at least {text}" if lower else text


def _apart_text(weighed: WeighUp, own: Total, without: Total, display: Display) -> str:
    """What of the base weight a boat's or bike's things are: what both totals leave."""
    scale = whole_load(weighed, display).scale
    rest = total_g(weighed, without, display)
    text = scale.text(scale.difference(weighed.base.grams, rest))
    return f"at least {text}" if own.unweighed or weighed.unread else text


def total_name(weighed: WeighUp, total: Total) -> str:
    """The name of a total; nobody carries all that they own, so that has none from the skin out.

    Nor does all that is owned have what is borrowed.
    """
    if weighed.trip is None and total.name == weighed.skin_out.name:
        return WITHOUT_VEHICLES
    if weighed.trip is None and weighed.borrowed and total.name == weighed.carried.name:
        return "What is left of all that is yours" if weighed.left_out else "All that is yours"
    return total.name


def class_of(weighed: WeighUp, total: Total) -> str | None:
    """The class of a total as a base weight; None where it is not known or tells nothing.

    What has no shelter or nothing to sleep in is no kit for a night, however light, and nobody
    carries all that they own.
    """
    if not weighed.has_class:
        return None
    return total.certain_class if weighed.unread else total.class_name


def in_all(weighed: WeighUp, display: Display) -> str:
    """What it all weighs, and its base weight."""
    if not weighed.rows:
        return nothing(weighed)
    if all(row.row_mg is None for row in weighed.rows):
        return f"{subject(weighed)} is still without weights: nothing of it is weighed."
    base = weighed.base
    of_class = class_of(weighed, base)
    named_class = f", which walkers call {of_class}" if of_class else ""
    total = total_text(weighed, weighed.carried, display)
    weighs = f"{subject(weighed)} weighs {total}"
    if weighed.trip is None and not weighed.left_out:
        # Nobody carries all that they own: it is a sum of things, no load.
        weighs = f"One of each thing that you own weighs {total} together"
    of_that = f"Of that, {total_text(weighed, base, display)} is base weight{named_class}."
    if base.mg == weighed.carried.mg and weighed.unmarked:
        return f"{weighs}. {weighed.unmarked}"
    return f"{weighs}. {of_that} {weighed.unmarked}".rstrip()


def in_one(weighed: WeighUp, display: Display) -> str:
    """What the first page says: of a list what it weighs, of all that is owned no sum of it."""
    known = any(row.row_mg is not None for row in weighed.rows)
    if weighed.trip is not None or not known:
        return in_all(weighed, display)
    things = count(len({row.item for row in weighed.rows}), "thing")
    return f"Your {things} are listed by weight, system, kit and bag."


def totals_words(weighed: WeighUp, display: Display) -> str:
    """The base weight with and without what is counted differently, and from the skin out."""
    parts = []
    if any(row.system == "bags" and row.carried_as == "base" for row in weighed.rows):
        parts.append(f"{total_text(weighed, weighed.without_bags, display)} without bags")
    for system in OF_VEHICLES:
        own, without = weighed.of_base(system), weighed.without_system(system)
        if own and without:
            grams = total_text(weighed, without, display)
            share = _apart_text(weighed, own, without, display)
            parts.append(f"{grams} without the {system} and its things ({share})")
        if total := weighed.counted(system):
            counted = total_text(weighed, total, display)
            parts.append(f"{counted} if the {system} counted, too")
    base = total_text(weighed, weighed.base, display)
    others = f"; it would be {listing(parts)}" if parts else ""
    first = f"The base weight is {base}{others}."
    if weighed.unmarked:
        # As nobody said what is eaten or worn, that is no base weight yet.
        first = f"So far {base} counts as base weight{others}."
    if weighed.trip is None:
        return first
    return f"{first} From the skin out you carry {total_text(weighed, weighed.skin_out, display)}."


def heaviest_words(weighed: WeighUp, display: Display) -> str:
    """The three heaviest things, with their share."""
    things = {row.item: row.name for row in weighed.rows}
    top = [each for each in weighed.by("item") if each.carried_mg][:3]
    share = sum(each.carried_mg for each in top) / sum(row.row_mg or 0 for row in weighed.rows)
    verb = "makes up" if len(top) == 1 else "make up"
    of = "of what is weighed" if weighed.at_least else "of the total"
    return f"{named([things[each.name] for each in top])} {verb} {percent(share)} {of}."


def asked_for(weighed: WeighUp) -> tuple[str, ...]:
    """What was left out and added as the reader asked, a sentence each."""
    first, others = guarding_first(weighed.left_out)
    out, at_most = list(map(in_marks, first + others)), max(len(first), SHOWN)
    more = " All are named below the totals." if len(out) > at_most else ""
    added = list(dict.fromkeys(row.name for row in weighed.rows if row.added))
    return (
        *((f"Not counted, as you asked: {listing(out, at_most=at_most)}.{more}",) if out else ()),
        *((f"Also counted, as you asked: {named(added)}.",) if added else ()),
        *weighed.remarks,
    )


def class_note(weighed: WeighUp) -> tuple[str, ...]:
    """What a class is, where the base weight has one."""
    if weighed.unmarked and weighed.trip is not None:
        return (f"No class is named. {weighed.unmarked}",)
    if not weighed.has_class or not weighed.rows:
        return ()
    if class_of(weighed, weighed.base) is None:
        return ("As not everything is weighed, a class could still be heavier, so none is named.",)
    return (
        "Classes are the lines that walkers draw by base weight, at 5, 10 and 20 lb: a habit, not "
        "a standard.",
    )


def counted_note(weighed: WeighUp, display: Display) -> tuple[str, ...]:
    """What counts where the boat or bike does, and which things of the vehicle's do not."""
    systems = [system for system in OF_VEHICLES if weighed.counted(system)]
    if not systems:
        return ()
    elsewhere = [
        row for row in weighed.rows if row.carried_as == "vehicle" and row.system not in OF_VEHICLES
    ]
    added = listing([f"“if the {system} counted”" for system in systems])
    verb = "adds" if len(systems) == 1 else "add"
    sentence = (
        f"{added[:1]}{added[1:2].upper()}{added[2:]} {verb} what is carried as vehicle and belongs "
        f"to the system {listing(systems, last='or')}."
    )
    safe = [row for system in systems for row in weighed.crew_safety(system)]
    if safe:
        guards = listing(list(dict.fromkeys(in_marks(row.name) for row in safe)))
        verb = "protects you and stays" if len(safe) == 1 else "protect you and stay"
        sentence = f"{sentence} {guards} {verb} as carried, no part of that."
    if not elsewhere:
        return (sentence,)
    grams = sum(row.row_mg or 0 for row in elsewhere) / 1000
    lower = any(row.row_mg is None for row in elsewhere)
    names = listing(list(dict.fromkeys(in_marks(row.name) for row in elsewhere)))
    return (
        f"{sentence} Carried as vehicle under other systems and not added: {names} "
        f"({mass(grams, display, at_least=lower)}).",
    )


def system_words(weighed: WeighUp, display: Display) -> tuple[str, ...]:
    """The heaviest systems from the skin out, and what is not in the picture."""
    first, *_ = worn_and_packed(weighed, display)
    system, grams = first
    whole = weighed.skin_out
    of = "what you carry from the skin out"
    if weighed.trip is None:
        of = "all but bike and boat" if whole.mg != weighed.carried.mg else "the total"
    share = f", {percent(grams / whole.grams)} of {of}"
    rest = "" if whole.mg == weighed.carried.mg else "Not counting bike and boat, "
    most = label(system).lower() if rest else label(system)
    if whole.unweighed or weighed.unread:
        # What is not weighed may be heavier than all that is.
        rest, most = "Of what is weighed, ", label(system).lower()
        not_vehicles = "" if whole.mg == weighed.carried.mg else "not counting bike and boat, "
        rest, share = f"{rest}{not_vehicles}", f", {percent(grams / whole.grams)} of it"
    sentences = [f"{rest}{most} weighs most, with {mass(grams, display)}{share}."]
    if whole.mg != weighed.carried.mg:
        vehicle = whole_load(weighed, display).kind("vehicle")
        sentences.append(
            f"The picture leaves out {fixed_to(weighed)} ({vehicle}). The table has it."
        )
    return tuple(sentences)


def fixed_to(weighed: WeighUp) -> str:
    """What is carried as vehicle: "the bike and what is fixed to it"."""
    return fixed_words(row.system for row in weighed.rows if row.carried_as == "vehicle")


def worn_and_packed(weighed: WeighUp, display: Display) -> list[tuple[str, float]]:
    """Systems and their grams without the vehicle's, heaviest first, those of nothing left out."""
    systems = groups_shown(weighed, "system", total_scale(display))
    sums = [(each.about.name, each.skin_out_g) for each in systems]
    return sorted([each for each in sums if each[1]], key=lambda each: (-each[1], each[0]))


def bag_words(bags: Bags, display: Display) -> tuple[str, ...]:
    """Which bag is heaviest, how sides differ, what is heavy and high, what is over a limit."""
    sentences = []
    if bags.loads:
        first = bags.loads[0]
        holds = mass(first.contents_mg / 1000, display, at_least=first.unweighed > 0)
        lower = any(load.unweighed for load in bags.loads)
        of = "Of what is weighed, " if lower else ""
        sentences.append(f"{of}“{first.name}” holds most: {holds}.")
    sentences += [sides_words(*pair, display) for pair in bags.pairs]
    sentences += [
        f"“{load.name}” sits high or far out and holds "
        f"{mass(load.contents_mg / 1000, display)}; the heaviest in it is “{load.heaviest}” at "
        f"{mass(load.heaviest_mg / 1000, display)}."
        for load in bags.loads
        if load.high and load.heaviest_mg
    ]
    sentences += limit_words(bags, display)
    sentences += [vehicle_words(each, display) for each in bags.vehicles]
    return tuple(sentences)


def comparison_words(comparison: Comparison, display: Display) -> str:
    """How much more or less the one is than the other, from the skin out."""
    here, there = comparison.here, comparison.there
    more = here.skin_out.mg - there.skin_out.mg
    if not more:
        return f"{subject(here)} and {_of_other(there)} weigh the same from the skin out."
    how = "more" if more > 0 else "less"
    apart = mass_apart(here.skin_out.grams, there.skin_out.grams, display)
    return f"{subject(here)} weighs {apart} {how} than {_of_other(there)} from the skin out."


def _of_other(weighed: WeighUp) -> str:
    return "that of everything" if weighed.trip is None else f"that of “{weighed.trip.title}”"
