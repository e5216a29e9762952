"""Buying as a page: each candidate's case, what broke, what a kilogram costs."""

from dataclasses import dataclass
from datetime import date

from ...display.sections import Section
from ...display.words import Display
from ...effort.carrying_cost import Effort
from ...effort.section import kilogram_section
from ...store.rows import Store, ask
from ...store.set_aside import records_set_aside
from ...wear.chores import Chore
from ...wear.failures import FailureBook
from ...wear.sections import before_next_section, how_long_section, what_broke_section
from ...wear.upkeep import upkeep
from ..cases import candidates, case, chosen
from ..evidence import Evidence
from ..nights import BeddingSwap
from ..results import Case
from .case_section import Sections, case_section
from .comparison_section import comparison_section
from .opening import buying_opening


@dataclass(frozen=True)
class BuyingPage:
    """The cases, the record behind them, and the units in which they are told: a section a method.

    ``one``: a single candidate was asked for. ``chores``: what is to be seen to of all that is
    owned. ``titles``: of trips.
    """

    cases: tuple[Case, ...]
    swaps: dict[str, BeddingSwap]
    failures: FailureBook
    effort: Effort
    nights_a_year: int
    chores: tuple[Chore, ...]
    titles: dict[str, str]
    set_aside: int
    one: bool
    display: Display

    opening = buying_opening
    side_by_side = comparison_section

    def each(self) -> Sections:
        """Each candidate's case."""
        swaps = [self.swaps.get(c.candidate.candidate) for c in self.cases]
        pairs = zip(self.cases, swaps, strict=True)
        alone = len(self.cases) == 1
        parts = (case_section(c, swap, self.display, alone=alone) for c, swap in pairs)
        return Sections(tuple(parts))

    def what_broke(self) -> Section:
        """What failed, how often that is, and how sure."""
        return what_broke_section(self.failures)

    def how_long(self) -> Section:
        """How long things last, and what a night with them cost."""
        return how_long_section(self.failures)

    def before_next(self) -> Section:
        """What to mend before the next trip, and what is mended and to be tried first."""
        return before_next_section(self.chores)

    def kilogram(self) -> Section:
        """What a kilogram more cost on one's own trips."""
        return kilogram_section(self.effort, self.titles, self.display)


def read_buying(store: Store, candidate: str, *, today: date, display: Display) -> BuyingPage:
    """Return the page of one candidate or, where none is named, of all.

    ``today``: the day the last twelve months end with. Raises QuestionError where there is no such
    candidate.
    """
    evidence = Evidence(store, today)
    cases = tuple(case(evidence, c) for c in chosen(candidates(store), candidate))
    swaps = {
        c.candidate.candidate: BeddingSwap(c.candidate, evidence.nights) for c in cases if c.replay
    }
    return BuyingPage(
        cases=cases,
        swaps=swaps,
        failures=evidence.failures,
        effort=evidence.effort,
        nights_a_year=evidence.nights_a_year,
        chores=upkeep(store, today),
        titles={row["trip"]: row["title"] for row in ask(store, "store/trips_by_start")},
        set_aside=records_set_aside(store),
        one=bool(candidate.strip()),
        display=display,
    )
