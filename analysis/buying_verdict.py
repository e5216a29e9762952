"""The rules by which a candidate is judged, from its case alone."""

from tarebook.analysis.buying_results import Case, Verdict

SAFETY = ("first_aid", "safety", "navigation", "fire", "repair")
"""What is carried in the hope of not needing it is not weighed against grams or money."""
NIGHTS_CHANGED = 2
CHANCE_CHANGED = 0.1
"""From so many cold nights spared, or so much less of a chance of one in a year, warmth counts."""
FEWEST_VOTES = 5
FAILURES_CHANGED = 0.5


def verdict(case: Case) -> Verdict:
    """The verdict.

    Safety gear is beyond numbers. Rated sleep gear that would have spared cold nights changes
    nights; without enough votes, or without normals, it is too early to tell. Else something that
    saves weight is to wait where as much may stay at home for nothing, and a matter of price where
    not; what saves none has nothing on the record for it, unless it fails less.
    """
    if case.candidate.system in SAFETY:
        return "beyond_numbers"
    if spares_cold(case):
        return "changes_nights"
    if case.candidate.rated_sleep_gear and _unknown_cold(case):
        return "too_early"
    if case.saved_g is None:
        return "too_early"
    if case.saved_g > 0 and not colder(case):
        return "leave_first" if leaving_does(case) else "matter_of_price"
    return "matter_of_price" if fails_less(case) and not colder(case) else "not_on_record"


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
    """Whether at least the grams that it saves may stay at home for nothing."""
    return bool(case.saved_g and case.saved_g > 0 and case.alternative.let_go_g >= case.saved_g)


def fails_less(case: Case) -> bool:
    """Whether clearly fewer failures are to be expected of it."""
    now = case.failures.now
    return now is not None and now - case.failures.then >= FAILURES_CHANGED


def _unknown_cold(case: Case) -> bool:
    return case.year is None and (case.replay is None or case.replay.votes < FEWEST_VOTES)
