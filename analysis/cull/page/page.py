"""A season looked back on as a page: what to leave at home, and how far the log can tell."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from ...display.cautions import KEEP_WARM_CARE
from ...display.sections import Opening
from ...display.thing_names import in_marks
from ...display.words import Display
from ...effort.carrying_cost import effort
from ...effort.section import over_a_whole_trip
from ...store.rows import Store, ask
from ...store.scope import Scope
from ...store.settings import settings_of
from ...usage.cold_odds import TripsAhead, trips_ahead
from ...usage.keep_rules import is_spare_battery
from ...wear.upkeep import upkeep
from ...wear.words import UNFIT
from ..culling import ask_cull, cull
from ..outputs import SEED
from ..results import Cull, Wish
from . import packing_sheet, sections, shelves, trips_to_come, words


@dataclass(frozen=True)
class CullPage:
    """The answer to the question, and how it is told: a section a method.

    ``set_aside``: records that are missing. ``ahead``: the trips to come, where they were named.
    ``broken``: names of what failed badly and is not mended. ``along``: items that came along, by
    way of travelling, which is missing where it is not noted. ``batteries``: of spare batteries
    beside which one alone would not have done for whole trips, a sentence on that, by item.
    """

    data: Cull
    display: Display
    today: date
    set_aside: int
    ahead: TripsAhead | None = None
    broken: tuple[str, ...] = ()
    along: Mapping[str | None, frozenset[str]] = field(default_factory=dict)
    batteries: Mapping[str, str] = field(default_factory=dict)

    def opening(self) -> Opening:
        """What was looked back on, the answer in short, and what narrows it."""
        ahead = self.ahead
        return Opening(
            "What to leave at home",
            (*words.scope_lines(self.data, self.display), *trips_to_come.coming_lines(ahead)),
            (
                *words.reader_notices(self.data, self.set_aside),
                *trips_to_come.coming_notices(ahead),
                *self._left_batteries(),
            ),
            tuple(words.answer_points(self.data, self.display)),
            words.leave_sentence(self.data, self.display),
            caution=self._care(),
        )

    def _care(self) -> str:
        """What can hurt where going without is named: cold, and by boat cold water."""
        leaving = words.leaving_care(self.data)
        if not leaving:
            return ""
        afloat = packing_sheet.ON_THE_WATER if packing_sheet.goes_afloat(self) else ""
        return f"{leaving} {KEEP_WARM_CARE} {afloat}".rstrip()

    def _left_batteries(self) -> tuple[str, ...]:
        """What to know of a spare battery that could stay at home."""
        names = {item.item: item.name for item in self.data.answer.left}
        return tuple(
            f"{in_marks(names[item])} is a spare battery. {said}"
            for item, said in self.batteries.items()
            if item in names
        )

    what_to_leave = sections.what_to_leave_section
    next_cost = sections.next_cost_section
    by_kind = sections.by_kind_section
    never_used = shelves.never_used_section
    insurance = shelves.insurance_section
    to_say = shelves.to_say_section
    undecided = shelves.undecided_section
    everything = shelves.everything_section
    checklist = packing_sheet.checklist_section


def read_cull(
    store: Store, scope: Scope, wish: Wish, *, today: date, display: Display, coming: str = ""
) -> CullPage:
    """Return the page of a scope of trips.

    ``today``: gear given up by then is past judging. ``coming`` names trips to come, of whose cold
    nights the normals of their places tell; else the log does. Raises QuestionError where the scope
    has no trip, or there is no trip of a name.
    """
    import numpy as np

    ahead, regret = trips_ahead(store, coming), settings_of(store).regret
    question = ask_cull(store, scope, wish, regret=regret, today=today, ahead=ahead)
    answers = cull(question, np.random.default_rng(SEED))
    (missing,) = ask(store, "cull/scope_set_aside", trips=answers.usage.scoped.names)
    mend = (chore for chore in upkeep(store, today) if chore.kind == "mend")
    badly = {chore.item: chore.name for chore in mend if chore.severity in UNFIT}
    ways = ask(store, "cull/along_by_way", trips=answers.usage.scoped.names)
    along = {row["mode"]: frozenset(row["items"]) for row in ways}
    broken = tuple(badly.values())
    batteries = _batteries(store, answers)
    return CullPage(answers, display, today, missing["records"], ahead, broken, along, batteries)


def _batteries(store: Store, answers: Cull) -> dict[str, str]:
    """What the trips drew beside what one battery holds, of the spare ones, by item."""
    things = [j.about for j in answers.judged if j.verdict is not None]
    spare = {about.item for about in things if is_spare_battery(about, things)}
    if not spare:
        return {}
    told = {b.item: over_a_whole_trip(b) for b in effort(store).batteries if b.item in spare}
    return {item: said for item, said in told.items() if said}
