"""The opening of a debrief: the answer in a few sentences, and what narrows it."""

from collections.abc import Sequence

from ...display import words
from ...display.cautions import WATER_CARE
from ...display.load_shown import LoadShown
from ...display.sections import Opening, Point
from ...display.thing_names import in_marks, named
from ...display.words import Display, count, mass, sentence
from ...store.scope import BY_MODE, may_go_afloat
from ...store.set_aside import set_aside_notice
from ...wear.chores import TO_DO, Chore
from ...weigh_up.results import OF_VEHICLES
from ...weigh_up.unmarked import NONE_MARKED
from ..changes import Changes
from ..facts import Debrief
from .days_sections import cold_care
from .how_it_was import how_it_was
from .night_words import against_limit, felt_cold_too, how_was, low_of, slept
from .words import NO_INSURANCE, base_apart, counted_sentences, far_words, how_bad, worst_first

_PHRASES = 4
_RIDDEN_G = 5000
"""From this weight on a bike's or boat's heaviest thing is taken to be the bike or boat itself
(common practice, no published source); a paddle or a pump alone is none."""


def debrief_opening(debrief: Debrief, display: Display) -> Opening:
    """Return the head of the page; of what is not known there is no point."""
    points = (
        how_it_was(debrief, display),
        _coldest(debrief, display),
        _failed(debrief),
        _never_out(debrief, display),
        _base_weight(debrief, display),
        _before_next(debrief.chores) if debrief.latest else None,
    )
    return Opening(
        debrief.trip.title,
        _lines(debrief, display),
        _notices(debrief),
        tuple(point for point in points if point),
        _in_one(debrief, display),
        debrief.trip.note or "",
        _care(debrief),
    )


def _care(debrief: Debrief) -> str:
    """What can hurt on a trip like it: cold nights, water."""
    cares = (cold_care(debrief) or "", WATER_CARE if _afloat(debrief) else "")
    return " ".join(care for care in cares if care)


def _in_one(debrief: Debrief, display: Display) -> str:
    """The trip in a sentence each: its coldest night, what failed, what stayed packed."""
    parts, night, out = [], debrief.coldest, debrief.never_out
    if night is not None:
        parts.append(f"The coldest night came down to {low_of(night, display)}{how_was(night)}")
    if debrief.failures:
        names = list(dict.fromkeys(row["name"] for row in worst_first(debrief.failures)))
        parts.append(f"{named(names)} failed")
    if out is not None and out.items:
        verb = "was" if len(out.items) == 1 else "were"
        weighs = f" ({mass(out.weight_g, display, at_least=out.at_least)})" if out.weight_g else ""
        many = count(len(out.items), "thing")
        many = many if out.complete else f"at least {many}"
        parts.append(f"{many}{weighs} {verb} never taken out, {NO_INSURANCE}")
    return " ".join(map(sentence, parts))


def _lines(debrief: Debrief, display: Display) -> tuple[str, ...]:
    """When, how long, how and where; how far, how cold, with which boat or bike, for how many."""
    trip = debrief.trip
    stay = count(trip.nights, "night") if trip.nights else "a day out"
    how = BY_MODE.get(trip.mode or "", "")
    first = [words.days(trip.start_on, trip.end_on), f"{stay} {how}".strip(), trip.place or ""]
    cold = debrief.coldest
    second = [
        far_words(debrief, display) if trip.distance_km else "",
        f"{words.height(trip.ascent_m, display)} of climbing" if trip.ascent_m else "",
        f"coldest {low_of(cold, display)}" if cold is not None else "",
        f"with {named(rides)}" if (rides := _rides(debrief)) else "",
        f"food for {words.count(trip.people, 'person', 'people')}" if trip.people > 1 else "",
    ]
    lines = (" · ".join(part for part in parts if part) for parts in (first, second))
    return tuple(line for line in lines if line)


def _rides(debrief: Debrief) -> list[str]:
    """The boat and the bike that came along: of either the heaviest thing, where all is weighed."""
    found = []
    for system in OF_VEHICLES:
        own = [g for g in debrief.gear if g["system"] == system]
        if own and not any(g["unweighed"] for g in own):
            most = max(own, key=lambda g: (g["weight_g"] or 0.0, g["name"]))
            found += [str(most["name"])] if (most["weight_g"] or 0.0) >= _RIDDEN_G else []
    return found


def _notices(debrief: Debrief) -> tuple[str, ...]:
    """What the reader must know of the data: what is set aside, not weighed, not noted."""
    trip, unweighed = debrief.trip, debrief.weight.unweighed
    notices = [*set_aside_notice(trip.set_aside, "this trip")]
    if unweighed:
        verb, them = ("has", "it") if len(unweighed) == 1 else ("have", "them")
        notices.append(
            f"{named(unweighed)} {verb} no weight yet, so the sums with {them} read “at least”."
        )
    if not trip.items_carried:
        notices.append("What was carried is not noted, so there is little to look back on.")
    if trip.use_record == "partial":
        notices.append(
            "What was used is noted for part of the load only; of the rest it is not known."
        )
    elif trip.use_record == "none" and trip.items_carried:
        notices.append("What was used is not noted, so nothing can be said of what stayed packed.")
    return tuple(notices)


def _afloat(debrief: Debrief) -> bool:
    """Whether the trip went by boat, on some day at least, or may have: one came along."""
    modes = {debrief.trip.mode, *(row["mode"] for row in debrief.moves)}
    return may_go_afloat(modes, {row["system"] for row in debrief.gear})


def _never_out(debrief: Debrief, display: Display) -> Point | None:
    out, about = debrief.never_out, "Never taken out"
    if out is None:
        return None
    names = [item["name"] for item in out.items]
    if not names:
        scope = "Everything" if out.complete else "All of which it is noted"
        return Point(about, "Nothing.", f"{scope} was used, {NO_INSURANCE}.")
    many = count(len(names), "thing")
    many = many if out.complete else f"at least {many}"
    weighs = "" if out.weight_g is None else mass(out.weight_g, display, at_least=out.at_least)
    answer = sentence(", ".join(part for part in (many, weighs) if part))
    return Point(about, answer, " ".join(counted_sentences(out)), leads=True)


def _failed(debrief: Debrief) -> Point | None:
    about, failures = "Failed", worst_first(debrief.failures)
    if not failures:
        return Point(about, "Nothing was noted.") if debrief.trip.items_carried else None
    first, *others = failures
    more = [sentence(first["what"])] if first["what"] else []
    if others:
        also = [f"{in_marks(row['name'])} ({how_bad(row)})" for row in others]
        more.append(sentence(f"Also {_one_by_one(also)}"))
    return Point(about, sentence(f"{in_marks(first['name'])}: {how_bad(first)}"), " ".join(more))


def _one_by_one(phrases: Sequence[str]) -> str:
    """Phrases that have commas of their own, four at most: "a (x, y); b (x, z) and 3 more"."""
    shown = list(phrases if len(phrases) <= _PHRASES else phrases[: _PHRASES - 1])
    if len(shown) < len(phrases):
        shown.append(f"{len(phrases) - len(shown)} more")
    *head, last = shown
    return f"{'; '.join(head)} and {last}" if head else last


def _coldest(debrief: Debrief, display: Display) -> Point | None:
    night = debrief.coldest
    if night is None:
        return None
    answer = f"{low_of(night, display)}{how_was(night)}"
    when = sentence(", ".join([words.day(night.night, year=False), *slept(night)]))
    more = (
        when,
        against_limit(night, display),
        felt_cold_too(debrief.nights, night, debrief.weather, display),
    )
    about = "Coldest night"
    return Point(about, sentence(answer), " ".join(part for part in more if part), leads=True)


def _base_weight(debrief: Debrief, display: Display) -> Point | None:
    weight, changes = debrief.weight, debrief.changes
    if weight.base_g is None:
        return None
    load = LoadShown.of(weight.kinds, display)
    parts = [load.kind("base", at_least=weight.at_least)]
    marked = weight.worn_g or weight.consumable_g or weight.at_least
    if weight.weight_class and marked and not weight.at_least:
        parts.append(weight.weight_class)
    known = changes and changes.difference_g is not None and not changes.unweighed
    more = _difference(weight.base_g, changes, display) if changes and known else ""
    more = more if marked else f"{NONE_MARKED} {more}".strip()
    return Point("Base weight", sentence(", ".join(parts)), more)


def _difference(base_g: float, changes: Changes, display: Display) -> str:
    grams = changes.difference_g or 0.0
    if not round(grams):
        return f"The same as on “{changes.title}”."
    more = "more" if grams > 0 else "less"
    return f"{base_apart(base_g, changes, display)} {more} than on “{changes.title}”."


def _before_next(chores: Sequence[Chore]) -> Point | None:
    by_kind: dict[str, list[str]] = {}
    for chore in chores:
        names = by_kind.setdefault(chore.kind, [])
        if chore.name not in names:
            names.append(chore.name)
    tried, refill, check = (by_kind.get(kind, []) for kind in ("try_out", "replenish", "check"))
    sentences = []
    if by_kind.get("mend"):
        sentences.append(f"Mend {named(by_kind['mend'])}.")
    if tried:
        them = "it" if len(tried) == 1 else "them"
        sentences.append(f"Try {named(tried)} at home first: you mended {them} since.")
    if refill:
        sentences.append(f"Check and refill {named(refill)}.")
    if check:
        short = named(check) if len(check) < 3 else count(len(check), "thing")
        sentences.append(f"Look over {short}: no check within the last year.")
    if not sentences:
        return None
    return Point(TO_DO, sentences[0], " ".join(sentences[1:]), leads=True)
