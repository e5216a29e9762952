"""The sections of a debrief on what was carried: weight, bags, what stayed packed, what changed."""

from collections.abc import Sequence
from typing import Any

from ...display import words
from ...display.figure import Figure
from ...display.sections import Section
from ...display.thing_names import named
from ...display.words import Display, count, label, mass, percent, sentence
from ...store.rows import records
from ..facts import Debrief
from . import charts, tables
from .words import BY_MODE, VEHICLE

LOAD_CARE = {
    "bike": "Bike, racks and bags each have a load limit, the rider counted in; keep within the "
    "lowest, and both sides about even.",
    "paddle": "Keep within what the boat is rated for, people counted in, and trim it level.",
}
LOAD_CARE["ebike"] = LOAD_CARE["bike"]
LOAD_CARE["mixed"] = f"{LOAD_CARE['bike']} {LOAD_CARE['paddle']}"


def weight(debrief: Debrief, display: Display) -> Section:
    """What it weighed: base, worn, food and fuel by system; bike or boat apart."""
    heading, of = "What it weighed", debrief.weight
    if of.base_g is None and of.skin_out_g is None:
        return Section.empty(heading, "nothing is weighed")
    rows = records(debrief.by_system)
    mode = debrief.trip.mode or ""
    without = f", without {VEHICLE[mode].split(' and ')[0]}" if mode in VEHICLE else ""
    first = [
        "" if of.base_g is None else f"{mass(of.base_g, display)} of base weight",
        f"{mass(of.skin_out_g, display)} from the skin out{without}",
    ]
    least = "at least " if of.at_least else ""
    answer = [sentence(least + ", ".join(part for part in first if part)), _rest(debrief, display)]
    sums = {
        key: "" if grams is None else mass(grams, display, at_least=of.at_least)
        for key, grams in (
            ("base_g", of.base_g),
            ("worn_g", of.worn_g),
            ("consumable_g", of.consumable_g),
        )
    }
    heaviest = max(rows, key=lambda row: row["base_g"] or 0)
    if of.base_g and heaviest["base_g"]:
        share = f", {percent(heaviest['base_g'] / of.base_g)} of the base weight"
        answer.append(
            f"{label(heaviest['system'])} is the heaviest system"
            f"{' of what is weighed' if of.at_least else ''}: "
            f"{mass(heaviest['base_g'], display)}{'' if of.at_least else share}."
        )
    figure = Figure(
        "weight",
        " ".join(part for part in answer if part),
        charts.by_system(rows, sums, display),
        "All weights are those at the start, packed as carried.",
    )
    drawn = any(row[key] is None or row[key] > 0 for row in rows for key in sums)
    return Section(
        heading,
        tuple(part for part in answer if part),
        figure if drawn else None,
        tables.by_system(rows, display),
    )


def _rest(debrief: Debrief, display: Display) -> str:
    of = debrief.weight
    parts = [
        f"{mass(of.worn_g, display)} worn" if of.worn_g else "",
        f"{mass(of.consumable_g, display)} of food, fuel and the like" if of.consumable_g else "",
    ]
    within = " and ".join(part for part in parts if part)
    told = [f"the skin-out weight takes in {within}" if within else ""]
    if of.vehicle_g:
        what = VEHICLE.get(debrief.trip.mode or "", "what counts as bike or boat")
        told.append(f"{what} weighed another {mass(of.vehicle_g, display)}")
    return " ".join(sentence(part) for part in told if part)


def bags(debrief: Debrief, display: Display) -> Section:
    """How the bags were loaded, at the start; what is worn or has no bag is not counted."""
    heading = "How the bags were loaded"
    rows = [{**row, "held_g": _held(row)} for row in records(debrief.by_bag) if row["bag"]]
    rows = [row for row in rows if row["held_g"]]
    if len(rows) < 2:
        return Section.empty(heading, "no two bags are named")
    rows.sort(key=lambda row: -row["held_g"])
    first, second = rows[:2]
    least = debrief.weight.at_least
    answer = sentence(
        f"{first['bag']} was the heaviest, {mass(first['held_g'], display, at_least=least)}; next "
        f"{second['bag']}, {mass(second['held_g'], display, at_least=least)}"
    )
    food = first["consumable_g"] or 0
    more = (
        (f"{mass(food, display)} of the heaviest was food, fuel and the like, so it grew lighter.",)
        if food > 0.25 * first["held_g"]
        else ()
    )
    return Section(
        heading,
        (answer, *more),
        Figure("bags", answer, charts.by_bag(rows, display)),
        tables.by_bag(rows, display),
        caution=LOAD_CARE.get(debrief.trip.mode or ""),
    )


def _held(row: dict[str, Any]) -> float:
    return sum(row[key] or 0.0 for key in ("base_g", "consumable_g", "vehicle_g"))


def never_out(debrief: Debrief, display: Display) -> Section:
    """What came along and was never taken out, insurance apart."""
    heading, out, trip = "What stayed packed", debrief.never_out, debrief.trip
    if out is None:
        return Section.empty(heading, "what was used")
    rows = records(out.items)
    everything = tables.along(records(debrief.along), display)
    if not rows:
        scope = "Everything" if out.complete else "Everything of which it is noted"
        return Section(heading, (f"{scope} was used, insurance apart.",), table=everything)
    many = f"at least {count(len(rows), 'thing')}"
    if out.complete:
        many = f"{len(rows)} of {count(trip.items_carried, 'thing')}"
    first = f"{many} {'was' if len(rows) == 1 else 'were'} never taken out, insurance apart"
    if out.weight_g is not None:
        first += f": {mass(out.weight_g, display, at_least=out.at_least)}"
    answer = sentence(first)
    others = [row for row in rows if not row["on_me"]]
    notes = ["One trip proves little: what stayed packed this time may be needed the next."]
    if others:
        notes.append(
            f"{named([row['name'] for row in others])} did not weigh on you at the start and "
            f"{'is' if len(others) == 1 else 'are'} not in the sum."
        )
    mine = [row for row in rows if row["on_me"]]
    figure = Figure("never-out", answer, charts.never_out(mine, display))
    table = tables.never_out(rows, display)
    return Section(
        heading, (answer,), figure if mine else None, table, tuple(notes), more=(everything,)
    )


def insurance(debrief: Debrief, display: Display) -> Section:
    """What was carried in the hope of not needing it; never counted as waste."""
    heading, rows = "The insurance shelf", records(debrief.insurance)
    if not rows:
        return Section.empty(heading, "no insurance was carried")
    known = [row["weight_g"] for row in rows if row["weight_g"] is not None]
    weighs = f", {mass(sum(known), display, at_least=len(known) < len(rows))}" if known else ""
    verb = "was" if len(rows) == 1 else "were"
    it = "it" if len(rows) == 1 else "them"
    first = f"{count(len(rows), 'thing')}{weighs}, {verb} carried in the hope of not needing {it}"
    return Section(
        heading,
        (sentence(first), _needed(rows)),
        table=tables.insurance(rows, display),
        notes=("None of it is waste, used or not: look it over and carry it again.",),
    )


def _needed(rows: Sequence[dict[str, Any]]) -> str:
    needed = [row["name"] for row in rows if row["used"]]
    unknown = [row["name"] for row in rows if row["used"] is None]
    if needed:
        return sentence(f"Needed all the same: {named(needed)}")
    return "Whether any was needed is not noted." if unknown else "None of it was needed."


def food_and_fuel(debrief: Debrief, display: Display) -> Section:
    """What was left of food and fuel."""
    heading, rows = "Food and fuel that came home", records(debrief.brought_home)
    left = [row for row in rows if row["brought_home_g"]]
    if not rows:
        return Section.empty(heading, "food and fuel brought home")
    if not left:
        return Section(heading, ("Nothing came home: all of what is noted was used up.",))
    told = [
        f"{mass(row['brought_home_g'], display)} of {row['name']}"
        + ("" if row["share"] is None else f" ({percent(row['share'])})")
        for row in left
    ]
    answer = sentence(f"{named(told)} came home")
    return Section(
        heading,
        (answer,),
        table=tables.brought_home(rows, display),
        notes=("Weights count the packaging: of a gas canister, the can.",),
    )


def changes(debrief: Debrief, display: Display) -> Section:
    """What changed in base weight since the latest earlier trip of the same mode."""
    heading, since = "What changed since last time", debrief.changes
    if since is None:
        return Section.empty(heading, "no earlier trip of this kind")
    how = BY_MODE.get(debrief.trip.mode or "", "of this kind")
    last = f"“{since.title}” ({words.day(since.start_on, weekday=False)}), the last trip {how}"
    rows = records(since.parts)
    if since.difference_g is None:
        return Section.empty(heading, "base weight on both of the last two trips")
    if not rows:
        return Section(heading, (sentence(f"Nothing: the base weight is that of {last}"),))
    change = since.difference_g
    size = mass(abs(change), display)
    first = f"{size} {'heavier' if change > 0 else 'lighter'} than {last}"
    if not round(change):
        first = f"As heavy as {last}, but packed differently"
    notes: tuple[str, ...] = ()
    if since.unweighed:
        notes = (
            f"{named(since.unweighed)} {'is' if len(since.unweighed) == 1 else 'are'} not weighed "
            "on one of the two trips: this is the difference of what is.",
        )
    answer = (sentence(first), *_by_cause(debrief, display))
    return Section(
        heading,
        answer,
        Figure(
            "changes",
            " ".join(answer),
            charts.changes(rows, display),
            "Each bar begins where the one above it ends. Blue is lighter, orange heavier.",
        ),
        tables.changes(rows, display),
        notes,
    )


def _by_cause(debrief: Debrief, display: Display) -> tuple[str, ...]:
    assert debrief.changes is not None
    causes = records(debrief.changes.causes)
    if len(causes) < 2:
        return ()
    names = {
        "added": "brought along",
        "dropped": "left at home",
        "swapped": "swapped",
        "carried_otherwise": "carried otherwise",
        "quantity": "more or fewer of the same",
        "reweighed": "reweighed",
    }
    told = [
        f"{names[row['cause']]} {words.small_mass(display).text(row['delta_g'], signed=True)}"
        for row in causes
    ]
    return (sentence(", ".join(told)),)
