"""The opening of the page on buying: what was asked, the answer in short, what narrows it."""

from collections.abc import Sequence

from tarebook.analysis import buying_words as said
from tarebook.analysis.buying_results import Case
from tarebook.analysis.buying_verdict import verdict
from tarebook.analysis.effort import Effort
from tarebook.analysis.failures import FailureBook
from tarebook.analysis.section import Point
from tarebook.analysis.set_aside import set_aside_notice
from tarebook.analysis.words import Display, count, listing, mass, number, sentence

TITLE = "The case for buying"
_MOST_POINTS = 6


def title(cases: Sequence[Case], one: bool) -> str:
    """The heading: of one candidate its name."""
    return f"{TITLE}: {cases[0].candidate.name}" if one and cases else TITLE


def lines(cases: Sequence[Case], failures: FailureBook, nights: int) -> tuple[str, ...]:
    """What was looked at."""
    broke = sum(f.rate.failures for f in failures.systems)
    return (
        f"{count(len(cases), 'candidate')} · {count(nights, 'night')} on trips of the last twelve "
        f"months · {count(broke, 'failure')} on record",
    )


def notices(cases: Sequence[Case], set_aside: int) -> tuple[str, ...]:
    """What the reader must know of the data."""
    found = [*set_aside_notice(set_aside)]
    if any(c.base is not None and c.base.at_least for c in cases):
        found.append("Some of what was carried has no weight yet: base weights read “at least”.")
    return tuple(found)


def points(
    cases: Sequence[Case], failures: FailureBook, effort: Effort, display: Display
) -> tuple[Point, ...]:
    """The answer in short: all of it, candidate by candidate, what broke."""
    found = []
    if not cases:
        found.append(Point("Candidates", "None.", "Write what you might buy into candidates.csv."))
    elif len(cases) > 1:
        found.append(Point("Worth buying", overall(cases, display), leads=True))
    for case in cases[:_MOST_POINTS]:
        alone = len(cases) == 1
        more = _why(case, display) if alone else _price(case, display)
        head = sentence(said.heading(case, display))
        found.append(Point(case.candidate.name, head, more, leads=alone))
    broke = broken(failures)
    if broke is not None:
        found.append(broke)
    return tuple(found)


def overall(cases: Sequence[Case], display: Display) -> str:
    """One sentence over all candidates."""
    kinds = {case.candidate.candidate: verdict(case) for case in cases}

    def of(kind: str) -> list[str]:
        return [c.candidate.name for c in cases if kinds[c.candidate.candidate] == kind]

    told = []
    warm, first, price = of("changes_nights"), of("leave_first"), of("matter_of_price")
    if warm:
        told.append(f"{listing(warm)} would spare you cold nights")
    if first:
        verb = "waits" if len(first) == 1 else "wait"
        grams = mass(cases[0].alternative.let_go_g, display)
        told.append(f"{listing(first)} {verb}, as {grams} may stay at home for nothing")
    if price:
        told.append(f"{listing(price)} {'is' if len(price) == 1 else 'are'} a matter of price")
    if not told:
        told.append("for none of them your record gives a reason")
    return sentence("; ".join(told))


def broken(failures: FailureBook) -> Point | None:
    """What failed most, per 100 nights."""
    failed = [f for f in failures.items if f.rate.failures and not f.retired]
    if not failures.items:
        return None
    if not failed:
        nights = max(f.rate.nights for f in failures.items)
        return Point("Failures", "None on record of what you still have.",
                     f"Over up to {count(nights, 'night')} each.")  # fmt: skip
    worst = max(failed, key=lambda f: (f.rate.pooled, f.item or ""))
    many = worst.rate.failures
    times = {1: "once", 2: "twice"}.get(many, f"{number(many)} times")
    return Point(
        "Fails most",
        f"{worst.name}: {times} in {count(worst.rate.nights, 'night')}.",
        f"Between {number(worst.rate.low, 1)} and {number(worst.rate.high, 1)} times in 100 "
        f"nights. {count(len(failed), 'thing')} of the "
        f"{sum(not f.retired for f in failures.items)} still in use failed at all.",
    )


def _why(case: Case, display: Display) -> str:
    return f"For it: {said.reason_for(case, display)} Against it: " + said.reason_against(
        case, display
    )


def _price(case: Case, display: Display) -> str:
    own, saved = case.candidate, case.saved_g
    parts = [said.money(own.price, own.currency)] if own.price is not None else []
    if saved:
        parts.append(f"{mass(abs(saved), display)} {'lighter' if saved > 0 else 'heavier'}")
    return sentence(", ".join(parts)) if parts else ""
