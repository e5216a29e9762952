"""Buying as a page: each candidate's case, what broke, what a kilogram costs."""

from dataclasses import dataclass
from datetime import date

import duckdb

from ...display.sections import Opening, Section
from ...display.words import Display
from ...effort import section as effort_page
from ...effort.carrying_cost import Effort
from ...store.rows import ask
from ...store.set_aside import records_set_aside
from ...wear import sections as failure_page
from ...wear.failures import FailureBook
from ..cases import candidates, case, chosen
from ..cold import Swap
from ..evidence import Evidence
from ..results import Case
from . import case_sections as told
from . import words as said


@dataclass(frozen=True)
class BuyingPage:
    """The cases, the record behind them, and the units in which they are told.

    ``one``: a single candidate was asked for. ``mend``, ``again``: what is open, what failed more
    than once. ``titles``: of trips.
    """

    cases: tuple[Case, ...]
    swaps: dict[str, Swap]
    failures: FailureBook
    effort: Effort
    nights_a_year: int
    mend: tuple[dict[str, object], ...]
    again: tuple[dict[str, object], ...]
    titles: dict[str, str]
    set_aside: int
    one: bool
    display: Display

    def opening(self) -> Opening:
        """What was looked at, the answer in short, and what narrows it."""
        return Opening(
            said.title(self.cases, self.one),
            said.lines(self.cases, self.failures, self.nights_a_year),
            said.notices(self.cases, self.set_aside),
            said.points(self.cases, self.failures, self.effort, self.display),
        )

    def side_by_side(self) -> Section:
        """Price against grams against cold nights."""
        return told.side_by_side(self.cases, self.display)

    def each(self) -> told.Sections:
        """Each candidate's case."""
        return told.Sections(
            tuple(
                told.one_case(c, self.swaps.get(c.candidate.candidate), self.display)
                for c in self.cases
            )
        )

    def what_broke(self) -> Section:
        """What failed, how often."""
        return failure_page.what_broke(self.failures)

    def how_long(self) -> Section:
        """How long things last, and what a night cost."""
        return failure_page.how_long(self.failures)

    def before_next(self) -> Section:
        """What to mend or check."""
        return failure_page.before_next(self.mend, self.again)

    def kilogram(self) -> Section:
        """What a kilogram costs on the move."""
        return effort_page.kilogram(self.effort, self.titles, self.display)


def read(
    connection: duckdb.DuckDBPyConnection, candidate: str, *, today: date, display: Display
) -> BuyingPage:
    """Return the page of one candidate or, where none is named, of all.

    ``today``: the day the last twelve months end with. Raises QuestionError where there is no such
    candidate.
    """
    evidence = Evidence(connection, today)
    cases = tuple(case(evidence, c) for c in chosen(candidates(connection), candidate))
    swaps = {c.candidate.candidate: Swap(c.candidate, evidence.nights) for c in cases if c.replay}
    return BuyingPage(
        cases=cases,
        swaps=swaps,
        failures=evidence.failures,
        effort=evidence.effort,
        nights_a_year=sum(t["nights"] for t in evidence.trips if evidence.recent(t["start_on"])),
        mend=tuple(ask(connection, "store/to_mend", today=today)),
        again=tuple(ask(connection, "buying/failed_again", today=today)),
        titles={row["trip"]: row["title"] for row in ask(connection, "store/trips_by_start")},
        set_aside=records_set_aside(connection),
        one=bool(candidate.strip()),
        display=display,
    )
