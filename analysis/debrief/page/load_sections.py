"""The sections of a debrief on what was carried: weight, bags, what stayed packed, what changed."""

from typing import TYPE_CHECKING

from ...ahead.cans import LEAST_EMPTY
from ...display import words
from ...display.cautions import BIKE_LOAD_CARE, BOAT_LOAD_CARE
from ...display.figure import Figure
from ...display.load_shown import LoadShown, parts_shown
from ...display.sections import Section
from ...display.thing_names import in_marks, named
from ...display.words import (
    label,
    listing,
    mass,
    percent,
    sentence,
)
from ...store.rows import Record
from ...store.scope import BY_MODE
from ..facts import Debrief
from . import charts, tables
from .words import CAUSE_WORDS, VEHICLE, all_of, base_apart

if TYPE_CHECKING:
    from .page import DebriefPage

_LOAD_CARE = {
    "bike": BIKE_LOAD_CARE,
    "ebike": BIKE_LOAD_CARE,
    "paddle": BOAT_LOAD_CARE,
    "mixed": f"{BIKE_LOAD_CARE} {BOAT_LOAD_CARE}",
}


def carried_weight_section(page: "DebriefPage") -> Section:
    """What it weighed: base, worn, food and fuel by system; bike or boat apart."""
    debrief, display = page.data, page.display
    heading, of, rows = "What it weighed", debrief.weight, debrief.by_system
    if of.base_g is None and of.skin_out_g is None:
        return Section.empty(heading, "nothing is weighed")
    mode = debrief.trip.mode or ""
    without = f", without {VEHICLE[mode].split(' and ')[0]}" if mode in VEHICLE else ""
    load = LoadShown.of(of.kinds, display)
    base = "" if of.base_g is None else f"{load.kind('base')} of base weight, "
    least = "at least " if of.at_least else ""
    skin_out = f"{load.text(load.skin_out)} from the skin out{without}"
    answer = [sentence(f"{least}{base}{skin_out}"), *_rest(debrief, load)]
    heaviest = max(rows, key=lambda row: row["base_g"] or 0)
    if of.base_g and heaviest["base_g"]:
        share = f", {percent(heaviest['base_g'] / of.base_g)} of the base weight"
        answer.append(
            f"{label(heaviest['system'])} is the heaviest system"
            f"{' of what is weighed' if of.at_least else ''}: "
            f"{mass(heaviest['base_g'], display)}{'' if of.at_least else share}."
        )
    rows = charts.systems_shown(rows, of, display)
    kinds = {f"{kind}_g": kind for kind in ("base", "worn", "consumable")}
    sums = {key: load.kind(kind, at_least=of.at_least) for key, kind in kinds.items()}
    figure = Figure(
        "weight",
        " ".join(answer),
        charts.system_weights_chart(rows, sums, display),
        "All weights are those at the start, packed as carried.",
    )
    # One bar says no more than its sentence.
    drawn = sum(row[kind] is None or row[kind] > 0 for row in rows for kind in kinds) > 1
    table = tables.system_weights_table(rows, display)
    return Section(
        heading,
        tuple(answer),
        figure if drawn else None,
        table,
        fold=all_of(len(rows), "system"),
    )


def _rest(debrief: Debrief, load: LoadShown) -> list[str]:
    """What the sums take in, and what stands beside them: none to two sentences, in one string."""
    of = debrief.weight
    parts = [
        f"{load.kind('worn')} worn" if of.worn_g else "",
        f"{load.kind('consumable')} of food, water, fuel and other consumables"
        if of.consumable_g
        else "",
    ]
    within = " and ".join(part for part in parts if part)
    sentences = [f"The skin-out weight takes in {within}."] if within else []
    if of.vehicle_g:
        what = VEHICLE.get(debrief.trip.mode or "", "what counts as bike or boat")
        sentences.append(sentence(f"{what} weighed another {load.kind('vehicle')}"))
    return [" ".join(sentences)] if sentences else []


def bags_section(page: "DebriefPage") -> Section:
    """How the bags were loaded, at the start; what is worn or has no bag is not counted."""
    debrief, display = page.data, page.display
    heading, least = "How the bags were loaded", debrief.weight.at_least
    # A bag that came along is called as it is in gear.csv, however its name is spelled in a row.
    called = {row["name"].casefold(): row["name"] for row in debrief.gear}
    rows = [
        {**row, "bag": called.get(row["bag"].casefold(), row["bag"]), "held_g": _held_g(row)}
        for row in debrief.by_bag
        if row["bag"]
    ]
    rows = sorted((row for row in rows if row["held_g"]), key=lambda row: -row["held_g"])
    if len(rows) < 2:
        return Section.empty(heading, "no two bags are named")
    first, second = rows[:2]
    answer = sentence(
        f"{in_marks(first['bag'])} was the heaviest bag, "
        f"{mass(first['held_g'], display, at_least=least)}; next {in_marks(second['bag'])}, "
        f"{mass(second['held_g'], display, at_least=least)}"
    )
    food = first["consumable_g"] or 0
    more = (
        (f"{mass(food, display)} of the heaviest bag was consumables, so it grew lighter.",)
        if food > 0.25 * first["held_g"]
        else ()
    )
    return Section(
        heading,
        (answer, *more),
        Figure(
            "bags",
            answer,
            charts.bags_chart(rows, display),
            "What each bag held at the start, the heaviest first.",
        ),
        tables.bags_table(rows, display),
        caution=_LOAD_CARE.get(debrief.trip.mode or ""),
        fold=all_of(len(rows), "bag"),
    )


def _held_g(row: Record) -> float:
    return sum(row[key] or 0.0 for key in ("base_g", "consumable_g", "vehicle_g"))


def food_and_fuel_section(page: "DebriefPage") -> Section:
    """What was left of food and fuel."""
    heading, rows = "Food and fuel that came home", page.data.brought_home
    if not rows:
        return Section.empty(heading, "food and fuel brought home")
    left = [
        f"{mass(row['brought_home_g'], page.display)} of {in_marks(row['name'])}"
        + (" with its can" if row["can"] and (row["share"] or 0) >= LEAST_EMPTY else "")
        + ("" if row["share"] is None else f" ({percent(row['share'])})")
        for row in rows
        if row["brought_home_g"]
    ]
    if not left:
        return Section(heading, ("Nothing came home: all of what is noted was used up.",))
    return Section(
        heading,
        (sentence(f"{listing(left, at_most=4)} came home"),),
        table=tables.brought_home_table(rows, page.display),
        notes=("Weights count the packaging: of a gas canister, the can.",),
        fold="What came home",
    )


def changes_section(page: "DebriefPage") -> Section:
    """What changed in base weight since the latest earlier trip of the same mode."""
    debrief, display = page.data, page.display
    heading, since = "What changed since last time", debrief.changes
    if since is None:
        return Section.empty(heading, "no earlier trip of this kind")
    if since.difference_g is None:
        return Section.empty(heading, "base weight on both of the last two trips")
    how = BY_MODE.get(debrief.trip.mode or "", "of this kind")
    last = f"“{since.title}” ({words.day(since.start_on, weekday=False)}), the last trip {how}"
    if not since.parts:
        return Section(heading, (sentence(f"No change of base weight since {last}"),))
    size = base_apart(debrief.weight.base_g, since, display)
    first = f"{size} {'heavier' if since.difference_g > 0 else 'lighter'} than {last}"
    if not round(since.difference_g):
        first = f"As heavy as {last}, but packed differently"
    notes: tuple[str, ...] = ()
    if since.unweighed:
        notes = (
            f"{named(since.unweighed)} {'is' if len(since.unweighed) == 1 else 'are'} not weighed "
            "on one of the two trips: this is the difference of what is.",
        )
    answer = [sentence(first)]
    if len(since.by_cause) > 1:
        scale = words.small_mass(display)
        steps = parts_shown(scale, [part["delta_g"] for part in since.parts])
        sums = dict.fromkeys(since.by_cause, 0.0)
        for part, grams in zip(since.parts, steps, strict=True):
            sums[part["cause"]] += grams or 0.0
        causes = (
            f"{CAUSE_WORDS[cause]} {scale.text(grams, signed=True)}"
            for cause, grams in sums.items()
        )
        answer.append(sentence(", ".join(causes)))
    figure = Figure(
        "changes",
        " ".join(answer),
        charts.changes_chart(since.parts, display),
        "Each bar begins where the one above it ends. Blue is lighter, orange heavier.",
    )
    return Section(
        heading,
        tuple(answer),
        figure if len(since.parts) > 1 else None,
        tables.changes_table(since.parts, display),
        notes,
        fold=all_of(len(since.parts), "change"),
    )
