"""Buying as a page: each candidate's case, what broke, what a kilogram costs."""

from dataclasses import dataclass
from datetime import date

import duckdb
from tarebook.analysis import buying_page_cases as told
from tarebook.analysis import buying_page_words as said
from tarebook.analysis import effort_page, failure_page
from tarebook.analysis.buying import candidates, case, chosen
from tarebook.analysis.buying_cold import Swap
from tarebook.analysis.buying_evidence import Evidence
from tarebook.analysis.buying_results import Case
from tarebook.analysis.effort import Effort
from tarebook.analysis.failures import FailureBook
from tarebook.analysis.frames import ask
from tarebook.analysis.section import Opening, Section
from tarebook.analysis.set_aside import records_set_aside
from tarebook.analysis.words import Display


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
        mend=tuple(ask(connection, "to_mend", today=today)),
        again=tuple(ask(connection, "failed_again", today=today)),
        titles={row["trip"]: row["title"] for row in ask(connection, "trips_by_start")},
        set_aside=records_set_aside(connection),
        one=bool(candidate.strip()),
        display=display,
    )
