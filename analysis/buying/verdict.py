"""The rules by which a candidate is judged, from its case alone."""

from collections.abc import Sequence

from ...tripdata.contract import INSURANCE_SYSTEMS
from .results import Case, CaseVerdict, Replaced

NIGHTS_CHANGED = 2
CHANCE_CHANGED = 0.1
"""From so many cold nights spared, or so much less of a chance of one in a year, warmth counts."""
FEWEST_VOTES = 5
FAILURES_CHANGED = 0.5
FAILURES_SEEN = 2
"""From so many failures on, or one for good, the record of what is replaced is a reason."""


def verdict(case: Case) -> CaseVerdict:
    """The verdict.

    Safety gear is beyond numbers, and so is what would take over from it, or leave a system that
    keeps one safe without anything. What failed in an unsafe way is mended or replaced. Rated
    sleep gear that would have spared cold nights changes nights, what makes cold nights likelier
    is colder; without enough votes, or without normals, it is too early to tell. What was wished
    for and is not owned is wished for. Else something that saves weight is to wait where as much
    could stay at home, and a matter of price where not, where what it replaces is given up already,
    or where the record has any other reason for it. Only what it has none for is not on record.
    """
    if case.candidate.system in INSURANCE_SYSTEMS or case.losses.grave:
        return "beyond_numbers"
    if failed_unsafely(case):
        return "failed_unsafely"
    if spares_cold(case):
        return "changes_nights"
    if case.saved_g is None or (case.candidate.rated_sleep_gear and unknown_cold(case)):
        return "too_early"
    if colder(case):
        return "colder"
    if case.wishes.notes:
        return "wished_for"
    if fills_a_gap(case):
        return "matter_of_price"
    if case.saved_g > 0 and leaving_does(case):
        return "leave_first"
    return "matter_of_price" if any_reason(case) else "not_on_record"


def any_reason(case: Case) -> bool:
    """Whether the record has any reason for it."""
    return bool(
        case.wishes.notes
        or fills_a_gap(case)
        or spares_cold(case)
        or (case.saved_g is not None and case.saved_g > 0)
        or often_failed(case)
        or holds_more(case)
        or fails_less(case)
        or cheaper_nights(case)
    )


def fills_a_gap(case: Case) -> bool:
    """Whether it would take the place of nothing but what is given up already."""
    return bool(case.replaced) and all(r.given_up for r in case.replaced)


def failed_unsafely(case: Case) -> tuple[Replaced, ...]:
    """What it would take over from that failed in an unsafe way."""
    return tuple(r for r in case.replaced if r.failures and r.failures.by_severity[3])


def often_failed(case: Case) -> tuple[Replaced, ...]:
    """What it would take over from that failed for good, or more than once, the worst first."""
    bad = [
        (f.by_severity[::-1], r.item, r)
        for r in case.replaced
        if (f := r.failures) and (f.rate.failures >= FAILURES_SEEN or any(f.by_severity[2:]))
    ]
    return tuple(r for *_, r in sorted(bad, key=lambda one: one[:2], reverse=True))


def spares_cold(case: Case) -> bool:
    """Whether it would have spared cold nights, or will spare them."""
    replay, year = case.replay, case.year
    nights = replay is not None and replay.avoided >= NIGHTS_CHANGED
    return nights or (year is not None and year.now - year.then >= CHANCE_CHANGED)


def colder(case: Case) -> bool:
    """Whether cold nights become likelier with it."""
    year = case.year
    return fewer_inside(case) > 0 or (year is not None and year.then - year.now >= CHANCE_CHANGED)


def fewer_inside(case: Case) -> int:
    """How many more nights fall below the rating with it; negative where fewer do."""
    replay = case.replay
    if replay is None or replay.inside_now is None:
        return 0
    return replay.inside_now - replay.inside_then


def leaving_does(case: Case) -> bool:
    """Whether at least the grams that it saves could stay at home without spending anything."""
    return bool(case.saved_g and case.saved_g > 0 and case.alternative.let_go_g >= case.saved_g)


def fails_less(case: Case) -> bool:
    """Whether clearly fewer failures are to be expected of it."""
    now, then = case.failures.now, case.failures.then
    return now is not None and then is not None and now - then >= FAILURES_CHANGED


def capacities(case: Case) -> tuple[float, float] | None:
    """Wh of what it would take over from, and its own; None where either is not known."""
    return _together(case.candidate.capacity_wh, [r.capacity_wh for r in case.replaced])


def holds_more(case: Case) -> bool:
    """Whether it holds more energy than what it would take over from."""
    held = capacities(case)
    return held is not None and held[1] > held[0]


def r_values(case: Case) -> tuple[float, float] | None:
    """R-values of what it would take over from, together, and its own; None where not known.

    R-values of mats laid on each other add up.
    """
    return _together(case.candidate.r_value, [r.r_value for r in case.replaced])


def _together(own: float | None, replaced: Sequence[float | None]) -> tuple[float, float] | None:
    known = [figure for figure in replaced if figure is not None]
    return None if own is None or not known else (sum(known), own)


def warmer_rating(case: Case) -> tuple[float, float] | None:
    """The lowest rating of the same kind that it would take over from, and its own, if warmer."""
    own = case.candidate
    bedding = [r for r in case.replaced if r.system == "sleep" and r.rated_as == own.rated_as]
    known = [r.rated_low_c for r in bedding if r.rated_low_c is not None]
    if own.system != "sleep" or own.rated_low_c is None or not known:
        return None
    return (min(known), own.rated_low_c) if own.rated_low_c > min(known) else None


def cheaper_nights(case: Case) -> bool:
    """Whether a night with it is expected to cost less than one with what it would replace did."""
    costs = [r for r in case.replaced if r.cost_per_night is not None]
    if len(costs) != 1 or case.price_per_night is None:
        return False
    same = costs[0].currency == case.candidate.currency
    return same and case.price_per_night < (costs[0].cost_per_night or 0.0)


def unknown_cold(case: Case) -> bool:
    """Whether neither normals nor enough judged nights tell of cold nights with it."""
    return case.year is None and (case.replay is None or case.replay.votes < FEWEST_VOTES)
