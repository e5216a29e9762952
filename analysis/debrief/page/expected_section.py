"""The section of a debrief that sets the trip beside what was to be expected of it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...ahead.after import AmountAfter, BatteryAfter, ColdAfter, main_amounts
from ...ahead.kept_words import LEAST_TRIPS, cold_kept
from ...ahead.results import Need
from ...ahead.scores import AmountScore
from ...display import tables, words
from ...display.sections import Section
from ...display.tables import Table
from ...display.thing_names import in_marks, named
from ...display.words import Display, count, label, listing, mass, mass_up, number, one_in, sentence

if TYPE_CHECKING:
    from .page import DebriefPage

_BEFORE = (
    "What was expected of this trip is worked out from the trips that had ended before it began, "
    "and from its own list and distances: no later trip is in that. How forecasts held is told of "
    "all trips."
)
_CAN = "What was taken and what came home are weighed with the packaging: gas with its can."
_A_MILLIGRAM_G = 1e-3
_RESERVE = "Add your own reserve."


def expected_section(page: "DebriefPage") -> Section:
    """Food, fuel, energy, cold and what was missed, beside what a page beforehand would say."""
    heading, after, display = "What was expected", page.data.aftermath, page.display
    amounts = main_amounts(after.amounts)
    answer = [
        *(_amount(each, display) for each in amounts if each.need.unit == "g"),
        *(_energy(each) for each in amounts if each.need.unit == "Wh"),
        *(line for each in after.batteries for line in _spare(each)),
        *(() if after.cold is None else (_cold(after.cold),)),
        *_missed(page),
    ]
    if not answer:
        return Section.empty(heading, "nothing of what can be expected")
    held = " ".join(
        said for said in (kept_sentence(page.data.scores), cold_kept(page.data.cold_score)) if said
    )
    if amounts:
        answer = [f"{_in_short(amounts)} {_RESERVE}", *answer]
    notes = [_BEFORE, *_by_practice(after.amounts)]
    if any(each.need.system == "cook" for each in amounts):
        notes.append(_CAN)
    return Section(
        heading,
        (*answer, *((held,) if held else ())),
        table=_table(after.amounts, display) if len(after.amounts) > 1 else None,
        notes=tuple(notes),
        for_index=held,
        fold="What was forecast",
    )


def _in_short(amounts: Sequence[AmountAfter]) -> str:
    """Whether what was forecast for nine trips in ten was enough this time, of each amount."""
    ends = {
        "enough": "the amount forecast for nine trips in ten was enough",
        "short": "the amount forecast for nine trips in ten was too little",
        "open": "all was used up, so nobody knows whether the amount forecast was enough",
        "before enough": "what had been enough on nine trips in ten before was enough here, too",
        "before short": "what had been enough on nine trips in ten before was too little here",
        "at_least": "it was not known beforehand how much would be enough",
    }
    of: dict[str, list[str]] = {held: [] for held in ends}
    for each in amounts:
        of[_how_it_held(each)].append(_named(each.need))
    return " ".join(f"Of {listing(of[held])}, {end}." for held, end in ends.items() if of[held])


def _how_it_held(after: AmountAfter) -> str:
    if after.need.basis == "at_least":
        return "at_least"
    before = after.need.basis == "before" and after.held != "open"
    return f"before {after.held}" if before else after.held


def kept_sentence(scores: Sequence[AmountScore]) -> str:
    """How often amounts for nine in ten trips were enough; empty where too few trips say."""
    known = [each for each in scores if each.trips >= LEAST_TRIPS]
    told = [_enough(each) for each in known if each.enough + each.short]
    *head, last = told or [""]
    said = f"{', '.join(head)}, and {last}" if head else last
    open_ended = [
        f"Of {_scored(each)} nobody can tell: all was used up on all {count(each.trips, 'trip')}."
        for each in known
        if not each.enough + each.short
    ]
    first = [sentence(f"the amount forecast would have been {said}")] if told else []
    return " ".join([*first, *open_ended])


def _enough(score: AmountScore) -> str:
    """Return "enough food on all 18 trips where it can be told"; used up, it cannot be told."""
    trips = score.enough + score.short
    where = " where it can be told" if score.open_ended else ""
    many = f"{'the ' if where else ''}{count(trips, 'trip')}"
    held = f"{number(score.enough)} of {many}" if score.enough else f"none of {many}"
    if not score.short:
        held = f"all {count(trips, 'trip')}" if trips > 1 else many
    return f"enough {_scored(score)} on {held}{where}"


def _scored(score: AmountScore) -> str:
    return _word(score.unit, score.system)


def _word(unit: str, system: str) -> str:
    words = {"food": "food", "cook": "fuel"}
    return "battery energy" if unit == "Wh" else words.get(system, label(system).lower())


def _named(need: Need) -> str:
    return in_marks(need.name) if need.item is not None else _word(need.unit, need.system)


def _what(need: Need) -> str:
    if need.item is not None:
        return in_marks(need.name)
    return f"{label(need.system)}, all together"


def _amount(after: AmountAfter, display: Display) -> str:
    need, taken = after.need, mass(after.taken, display)
    generous = mass_up(need.take_for_9_in_10, display)
    first = f"{mass(after.used, display)} of the {taken} taken was used"
    if after.used_up:
        most = "all" if not after.left else "nearly all"
        first = f"{most} of the {taken} taken was used, so the need was at least that"
    if need.basis == "at_least":
        least = mass_up(need.at_least or 0.0, display)
        before = f"nothing had come home before: forecast was {least} or more"
        return f"{_what(need)}: {first} ({before})."
    expected = f"{mass(need.amount.value, display)} expected"
    nine = f"{generous} is enough for nine trips in ten"
    if need.basis == "practice":
        nine = f"by common practice seldom over {generous}"
    if need.basis == "before":
        nine = f"{generous} had been enough on nine trips in ten, none of which was like this one"
    elif after.held == "short":
        nine = f"{generous}, for nine trips in ten, was too little"
    return f"{_what(need)}: {first} ({expected}; {nine})."


def _energy(after: AmountAfter) -> str:
    amount = after.need.amount
    return sentence(
        f"The battery gave {number(after.used)} Wh; {number(amount.value)} Wh was expected, very "
        f"likely {number(amount.low)} to {number(amount.high)} Wh"
    )


def _spare(after: BatteryAfter) -> list[str]:
    chance = after.ahead.p_spare_needed
    if chance is None or after.spare_needed is None:
        return []
    first = "No day needed more than the built-in battery holds"
    if after.spare_needed:
        first = "A day needed more than the built-in battery holds"
    return [sentence(f"{first}; the chance of such a day was {one_in(chance)}")]


def _cold(after: ColdAfter) -> str:
    of = "" if after.judged == after.nights else " that you judged"
    first = f"{number(after.too_cold)} of the {count(after.judged, 'night')}{of}"
    if after.judged == 1:
        first = f"The one night{of} was {'' if after.too_cold else 'not '}too cold"
    elif after.too_cold == after.judged:
        every = "Both" if after.judged == 2 else f"All {number(after.judged)}"
        first = f"{every} nights{of} were too cold"
    elif not after.too_cold:
        none = f"None of the {count(after.judged, 'night')}"
        first = f"{'Neither night' if after.judged == 2 else none}{of} was too cold"
    else:
        first += f" {'was' if after.too_cold == 1 else 'were'} too cold"
    odds = one_in(after.p_any.value)
    if after.nights == 1:
        return sentence(f"{first}; the chance of that was forecast as {odds}")
    return sentence(f"{first}; the chance of at least one too cold night was forecast as {odds}")


def _missed(page: "DebriefPage") -> list[str]:
    """What was missed against what would have been named; what is not owned only where named."""
    after = page.data.aftermath
    if after.named is None:
        return []
    before = [each.name for each in after.missed if each.rank is not None]
    others = [each.name for each in after.missed if each.rank is None and each.item is not None]
    lines = []
    if before:
        lines.append(f"Missed, and named beforehand as maybe forgotten: {named(before)}.")
    if others:
        lines.append(f"Missed, but not named beforehand: {named(others)}.")
    return lines


def _by_practice(amounts: Sequence[AmountAfter]) -> list[str]:
    names = [_named(each.need) for each in amounts if not each.need.trips]
    if not names:
        return []
    return [
        f"No earlier trip has a record of {listing(names, last='or')}, so only common practice was "
        "to go by."
    ]


def _sums_first(amounts: Sequence[AmountAfter]) -> list[AmountAfter]:
    """The amounts as they came, but of each system its sum before its parts."""
    systems = list(dict.fromkeys(a.need.system for a in amounts))
    return sorted(amounts, key=lambda a: (systems.index(a.need.system), a.need.item is not None))


def _table(amounts: Sequence[AmountAfter], display: Display) -> Table:
    scale = words.small_mass(display)

    def shown(value: float | None, need: Need) -> str | None:
        if value is None:
            return None
        return scale.text(value) if need.unit == "g" else f"{number(value)}{words.SPACE}Wh"

    def used(after: AmountAfter) -> str:
        # What was taken less what came home, both as they stand beside it.
        less, taken, left = after.used, after.taken, after.left
        if taken is not None and left is not None and abs(taken - left - less) < _A_MILLIGRAM_G:
            less = scale.difference(taken, left)
        return ("at least " if after.used_up else "") + (shown(less, after.need) or "")

    def up(value: float, need: Need) -> str | None:
        return scale.text_up(value) if need.unit == "g" else shown(value, need)

    def forecast(need: Need) -> dict[str, str | None]:
        if need.basis == "at_least":
            least = up(need.at_least or 0.0, need)
            return {"expected": f"{least} or more", "range": None, "generous": None}
        expected, low, high = (
            shown(end, need) for end in (need.amount.value, need.amount.low, need.amount.high)
        )
        before = "at least " if need.basis == "before" else ""
        return {
            "expected": expected,
            "range": f"{low} to {high}",
            "generous": f"{before}{up(need.take_for_9_in_10, need)}",
        }

    summed = {a.need.system for a in amounts if a.need.item is None}
    rows = [
        {
            "what": f"of it, {in_marks(a.need.name)}"
            if a.need.item is not None and a.need.system in summed
            else a.need.name
            if a.need.item is not None
            else f"{label(a.need.system)}, all together",
            "taken": shown(a.taken, a.need),
            "used": used(a),
            "left": shown(a.left, a.need),
            **forecast(a.need),
        }
        for a in _sums_first(amounts)
    ]
    columns = (
        tables.text("what", "What"),
        tables.right("taken", "Taken"),
        tables.right("used", "Used"),
        tables.right("left", "Came home"),
        tables.right("expected", "Expected"),
        tables.right("range", "Very likely range"),
        tables.right("generous", "For nine trips in ten"),
    )
    return Table.of(
        columns, rows, "thing", caption="Taken, used and expected", fold_after=0, stacks=True
    )
