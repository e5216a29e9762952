"""The opening of the page on buying: what was asked, the answer in short, what narrows it."""

from collections.abc import Sequence

from ...display.sections import Point
from ...display.words import Display, count, mass, money, number, quoted, sentence, wanted
from ...effort.carrying_cost import Effort
from ...store.set_aside import set_aside_notice
from ...wear.failures import FailureBook, Failures
from ...wear.rates import TOO_FEW_NIGHTS
from ...wear.words import record
from .. import words as said
from ..cautions import lost
from ..results import Case
from ..verdict import verdict

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
        found.append(
            Point("Candidates", "There are none.", "Write what you might buy into candidates.csv.")
        )
    elif len(cases) > 1:
        found.append(
            Point("Worth buying", overall(cases, display), grave(cases, display), leads=True)
        )
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

    def of(kind: str) -> list[Case]:
        return [c for c in cases if kinds[c.candidate.candidate] == kind]

    def names(found: Sequence[Case]) -> str:
        return quoted([c.candidate.name for c in found])

    def verb(found: Sequence[Case], one: str, many: str) -> str:
        return one if len(found) == 1 else many

    told = []
    unsafe, warm, wish = of("failed_unsafely"), of("changes_nights"), of("wished_for")
    first, price, beyond = of("leave_first"), of("matter_of_price"), of("beyond_numbers")
    if unsafe:
        told.append(f"{names(unsafe)} would replace what failed in an unsafe way")
    tried = [c for c in warm if c.replay is not None and c.replay.at_home is not None]
    if tried:
        at_home = quoted(
            sorted({c.replay.at_home.rated_name for c in tried if c.replay and c.replay.at_home})
        )
        told.append(f"try {at_home} first, which you own")
    if warm:
        sure = all(c.replay is None or c.replay.avoided_least for c in warm)
        told.append(f"{names(warm)} {'would' if sure else 'may'} spare you cold nights")
    if wish:
        told.append(f"you wished for {names(wish)} on your trips")
    if first:
        most = max((c.alternative for c in first), key=lambda a: a.let_go_g)
        told.append(
            f"wait with {names(first)}, as {mass(most.let_go_g, display)} could stay at home "
            f"without spending anything ("
            f"{wanted(most.let_go_misses, len(most.let_go_names))})"
        )
    if price:
        told.append(f"{names(price)} {verb(price, 'is', 'are')} a matter of price")
    if beyond:
        told.append(f"{names(beyond)} {verb(beyond, 'is', 'are')} not decided by numbers")
    if not told:
        told.append("for none of them your record gives a reason")
    return sentence("; ".join(told))


def grave(cases: Sequence[Case], display: Display) -> str:
    """What would be lost where a candidate takes over from what keeps one safe."""
    told = []
    for case in cases:
        if case.losses.grave:
            told += [f"\u201c{case.candidate.name}\u201d: {lost(case, display)[0]}"]
    return " ".join(told)


def broken(failures: FailureBook) -> Point | None:
    """What failed most, per 100 nights."""
    in_use = [f for f in failures.items if not f.retired]
    failed = [f for f in in_use if f.rate.failures]
    if not in_use:
        return None
    if not failed:
        nights = max(f.rate.nights for f in in_use)
        return Point(
            "Failures",
            "Nothing that you still have has failed so far.",
            f"It came along for up to {count(nights, 'night')} each.",
        )
    worst = max(failed, key=lambda f: (f.rate.value, f.item or ""))
    return Point(
        "Failures",
        f"\u201c{worst.name}\u201d failed most often for its nights: {record(worst)}.",
        f"{often(worst)} {_few_failed(len(failed), len(in_use))}",
    )


def often(found: Failures) -> str:
    """How often a thing fails, or that there are too few nights to tell."""
    rate = found.rate
    if not rate.enough:
        return sentence(f"{TOO_FEW_NIGHTS} how often it fails")
    return (
        f"That is between {number(rate.low, 1)} and {number(rate.high, 1)} times in 100 nights "
        "(90 % interval)."
    )


def _few_failed(failed: int, in_use: int) -> str:
    if failed == in_use:
        return "Everything in use has failed at least once." if in_use > 1 else ""
    verb = "has" if failed == 1 else "have"
    return f"Only {failed} of the {number(in_use)} things in use {verb} ever failed."


def _why(case: Case, display: Display) -> str:
    told = f"For it: {said.reason_for(case, display)} Against it: "
    return told + said.reason_against(case, display)


def _price(case: Case, display: Display) -> str:
    own, saved = case.candidate, case.saved_g
    parts = [money(own.price, own.currency)] if own.price is not None else []
    if saved and verdict(case) != "beyond_numbers":
        parts.append(f"{mass(abs(saved), display)} {'lighter' if saved > 0 else 'heavier'}")
    told = [sentence(", ".join(parts))] if parts else []
    return " ".join([*told, *lost(case, display)[:1]])
