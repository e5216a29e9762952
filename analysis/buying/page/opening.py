"""The opening of the page on buying: what was asked, the answer in short, what narrows it."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...display.sections import Opening, Point
from ...display.words import Display, count, mass, money, number, quoted, sentence
from ...store.set_aside import set_aside_notice
from ...wear.failures import FailureBook, Failures
from ...wear.rates import TOO_FEW_NIGHTS
from ...wear.words import failure_record
from .. import words as case_words
from ..cautions import lost, usual_cautions, warmth_unknown
from ..results import Case
from ..verdict import verdict

if TYPE_CHECKING:
    from .page import BuyingPage

_TITLE = "The case for buying"
_MOST_POINTS = 6
_WAITING = frozenset(("changes_nights", "leave_first", "colder", "not_on_record", "too_early"))
"""Verdicts with which nothing need be bought, where what is owned would spare the cold nights."""


def buying_opening(page: "BuyingPage") -> Opening:
    """What was asked, the answer in short, what narrows it."""
    cases, failures = page.cases, page.failures
    broke = sum(f.rate.failures for f in failures.systems)
    line = (
        f"{count(len(cases), 'candidate')} · {count(page.nights_a_year, 'night')} in the last "
        f"twelve months · {count(broke, 'failure')} on record"
    )
    notices = [*set_aside_notice(page.set_aside)]
    if any(c.base is not None and c.base.at_least for c in cases):
        notices.append("Some of what was carried has no weight yet: base weights read “at least”.")
    title = f"{_TITLE}: {cases[0].candidate.name}" if page.one and cases else _TITLE
    points = tuple(_points(cases, failures, page.display))
    says, care = _in_one(cases, points), " ".join(usual_cautions(cases))
    return Opening(title, (line,), tuple(notices), points, says, caution=care, care_after=1)


def _points(cases: Sequence[Case], failures: FailureBook, display: Display) -> Iterator[Point]:
    """The answer in short: all of it, candidate by candidate, what broke."""
    alone = len(cases) == 1
    if not cases:
        yield Point(
            "Candidates", "There are none.", "Write what you might buy into candidates.csv."
        )
    elif not alone:
        yield Point("Worth buying", _overall(cases, display), _grave(cases, display), leads=True)
    told: set[str] = set()
    for case in cases[:_MOST_POINTS]:
        more = _price(case, display)
        if alone:
            more = f"For it: {case_words.reason_for(case, display)} "
            more += f"Against it: {case_words.reason_against(case, display)}"
            more = " ".join((more, *warmth_unknown(case)))
        head = sentence(case_words.heading(case, display))
        # What could stay at home instead is the same for all of them, and is told once.
        again, first = head in told, head.partition(":")[0]
        told.add(head)
        head = sentence(f"{first}, for the same reason") if again and ":" in head else head
        yield Point(case.candidate.name, head, more, leads=alone)
    broke = broken(failures)
    if broke is not None:
        yield broke


def _in_one(cases: Sequence[Case], points: Sequence[Point]) -> str:
    """The answer in one sentence; of one candidate its name stands first."""
    if not cases:
        return "There are no candidates: write what you might buy into candidates.csv."
    name = quoted([cases[0].candidate.name])
    return points[0].answer if len(cases) > 1 else f"{name}: {points[0].answer}"


def _overall(cases: Sequence[Case], display: Display) -> str:
    """One sentence over all candidates."""
    by_kind: dict[str, list[Case]] = {}
    for case in cases:
        by_kind.setdefault(verdict(case), []).append(case)

    def names(kind: str, one: str = "", many: str = "") -> str:
        """The candidates of one verdict, and the verb that suits them."""
        verb = one if len(by_kind[kind]) == 1 else many
        return f"{quoted([c.candidate.name for c in by_kind[kind]])}{verb}"

    parts = []
    warm, first = by_kind.get("changes_nights", []), by_kind.get("leave_first", [])
    mine = [(c, c.replay.at_home.rated_name) for c in warm if c.replay and c.replay.at_home]
    told = []
    if (mine or first) and len(mine) == len(warm) and not by_kind.keys() - _WAITING:
        told.append("Buy nothing yet.")
    if mine:
        own = quoted(sorted({name for _, name in mine}))
        before = quoted([case.candidate.name for case, _ in mine])
        told.append(f"For cold nights try your own {own} before paying for {before}.")
    if "failed_unsafely" in by_kind:
        parts.append(f"{names('failed_unsafely')} would replace what failed in an unsafe way")
    alone = [c for c in warm if not (c.replay and c.replay.at_home)]
    if alone:
        sure = all(c.replay is None or c.replay.avoided_least for c in alone)
        parts.append(
            f"{quoted([c.candidate.name for c in alone])} {'would' if sure else 'may'} spare you "
            "cold nights"
        )
    if "wished_for" in by_kind:
        parts.append(f"you wished for {names('wished_for')} on your trips")
    if first:
        parts.append(f"{names('leave_first')} can wait")
    if "matter_of_price" in by_kind:
        as_warm = any(case.losses.warmth for case in by_kind["matter_of_price"])
        price = "a matter of price, if as warm" if as_warm else "a matter of price"
        parts.append(f"{names('matter_of_price', ' is', ' are')} {price}")
    if "beyond_numbers" in by_kind:
        parts.append(f"{names('beyond_numbers', ' is', ' are')} not decided by numbers")
    if not told and not parts:
        parts.append("for none of them your record gives a reason")
    return " ".join([*told, *(sentence(part) for part in parts)])


def _grave(cases: Sequence[Case], display: Display) -> str:
    """What would be lost where a candidate takes over from what keeps one safe."""
    return " ".join(
        f"\u201c{case.candidate.name}\u201d: {lost(case, display)[0]}"
        for case in cases
        if case.losses.grave
    )


def broken(failures: FailureBook) -> Point | None:
    """What failed most, per 100 nights."""
    in_use = failures.in_use
    failed = [f for f in in_use if f.rate.failures]
    if not in_use:
        return None
    if not failed:
        nights = max(f.rate.nights for f in in_use)
        return Point(
            "Failures",
            "Nothing that you still have has failed so far.",
            f"No thing came along for more than {count(nights, 'night')}.",
        )
    # The table has what is given up, too, which may have failed more often.
    of = "Of what is still in use, " if len(in_use) < len(failures.items) else ""
    worst = max(failed, key=lambda f: (f.rate.value, f.item or ""))
    return Point(
        "Failures",
        f"{of}\u201c{worst.name}\u201d failed most often for its nights: {failure_record(worst)}.",
        _often(worst),
    )


def _often(failures: Failures) -> str:
    """How often a thing fails, or that there are too few nights to tell."""
    rate = failures.rate
    if not rate.enough:
        return sentence(f"{TOO_FEW_NIGHTS} how often it fails")
    return (
        f"That is very likely {number(rate.low, 1)} to {number(rate.high, 1)} times in 100 nights."
    )


def _price(case: Case, display: Display) -> str:
    own, saved = case.candidate, case.saved_g
    parts = [money(own.price, own.currency)] if own.price is not None else []
    if saved and verdict(case) != "beyond_numbers":
        parts.append(f"{mass(abs(saved), display)} {'lighter' if saved > 0 else 'heavier'}")
    line = [sentence(", ".join(parts))] if parts else []
    return " ".join([*line, *lost(case, display)[:1], *warmth_unknown(case)])
