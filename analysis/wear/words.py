"""How failures and lives are told in words."""

from ...tripdata.logbook_entry.telling import TOLD_SEVERITIES
from ..display.words import count, day, number, percent
from .failures import FEWEST_LIVES, Failures, ItemLife, SystemLife
from .unmended import Unmended

UNFIT = ("unsafe", "lost_use")
"""Severities of a failure after which a thing is not taken along before it is mended."""

SEVERITY_WORDS = TOLD_SEVERITIES
"""How bad a failure was, on pages as in the form."""

STATE_WORDS = {
    "nuisance": "a nuisance",
    "impaired": "works badly",
    "lost_use": "cannot be used",
    "unsafe": "unsafe",
}
"""The same of what is not mended yet."""
WAS_WORDS = {
    "nuisance": "was a nuisance",
    "impaired": "worked badly",
    "lost_use": "could no longer be used",
    "unsafe": "was unsafe",
}
"""The same in a sentence on the day it failed."""


def not_mended(broken: Unmended, what: str = "It") -> str:
    """ "It could no longer be used on 13 September 2026 (“leaks”), and no repair is noted."."""
    about = f" (“{broken.what}”)" if broken.what else ""
    on = day(broken.day, weekday=False)
    return f"{what} {WAS_WORDS[broken.severity]} on {on}{about}, and no repair is noted."


def times(many: int) -> str:
    """So many times: once, twice, 3 times."""
    return {1: "once", 2: "twice"}.get(many, f"{number(many)} times")


def failure_record(failures: Failures) -> str:
    """How often a thing failed in how many nights: "twice in 3 nights, once unsafe"."""
    often = f"{times(failures.rate.failures)} in {count(failures.rate.nights, 'night')}"
    unsafe, lost = failures.by_severity[3], failures.by_severity[2]
    no_more = "for good" if failures.mended < unsafe + lost else "so that it had to be mended"
    for bad, how in ((unsafe, "in an unsafe way"), (lost, no_more)):
        if bad:
            part = "" if bad == failures.rate.failures == 1 else f"{times(bad)} "
            return f"{often}, {part}{how}"
    return often


def life_in_words(life: ItemLife) -> str:
    """One thing's life."""
    nights = count(life.life_nights, "night")
    if life.ended == "failed":
        return f"failed for good after {nights} of use"
    if life.ended == "retired":
        return f"given up after {nights} of use without having failed for good"
    return f"in use, {nights} so far without having failed for good"


def system_life_in_words(life: SystemLife) -> str:
    """How long a system's things last; "no typical life yet" where half have not failed."""
    survival = life.survival
    if survival is None:
        things = count(life.items, "thing")
        were = "was" if life.items == 1 else "were"
        return f"too few to tell: {things} {were} used for a night, {FEWEST_LIVES} are needed"
    failed = number(life.failed) if life.failed else "none"
    nights = count(round(survival.longest), "night")
    so_far = f"{failed} of {count(life.items, 'thing')} failed for good in up to {nights} of use"
    if not life.failed:
        return f"no typical life yet: {so_far}"
    if survival.median is None:
        left = percent(survival.share_left).replace("\u202f", " ")
        return f"no typical life yet: {so_far}, about {left} last longer"
    low, high = number(survival.median_low), survival.median_high
    likely = f"{low} or more" if high is None else f"{low} to {number(high)}"
    return f"half last {number(survival.median)} nights or fewer (very likely {likely}): {so_far}"
