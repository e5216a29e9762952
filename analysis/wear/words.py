"""How failures and lives are told in words."""

from ..display.words import count, number, percent
from .failures import FEWEST_LIVES, Failures, ItemLife, SystemLife

FAILED_CARE = (
    "Do not use what failed in an unsafe way until someone who knows has looked at it. Brakes, "
    "frames, stoves, gas and buoyancy belong in qualified hands."
)
UNFIT = ("unsafe", "lost_use")
"""Severities of a failure after which a thing is not taken along before it is mended."""

SEVERITY_WORDS = {
    "nuisance": "a nuisance",
    "impaired": "worked badly",
    "lost_use": "could no longer be used",
    "unsafe": "unsafe",
}


def times(many: int) -> str:
    """So many times: once, twice, 3 times."""
    return {1: "once", 2: "twice"}.get(many, f"{number(many)} times")


def record(found: Failures) -> str:
    """How often a thing failed in how many nights: "twice in 3 nights, once unsafe"."""
    told = f"{times(found.rate.failures)} in {count(found.rate.nights, 'night')}"
    unsafe, lost = found.by_severity[3], found.by_severity[2]
    if unsafe:
        part = "" if unsafe == found.rate.failures == 1 else f"{times(unsafe)} "
        return f"{told}, {part}in an unsafe way"
    if lost:
        part = "" if lost == found.rate.failures == 1 else f"{times(lost)} "
        return f"{told}, {part}for good"
    return told


def life_in_words(life: ItemLife) -> str:
    """One thing's life."""
    nights = count(life.life_nights, "night")
    if life.ended == "failed":
        return f"failed for good after {nights} of use"
    if life.ended == "retired":
        return f"given up after {nights} of use without having failed for good"
    return f"in use, {nights} so far without having failed for good"


def system_life_in_words(life: SystemLife) -> str:
    """How long a system's things last; "not reached" where half have not failed."""
    found = life.survival
    if found is None:
        things = count(life.items, "thing")
        return f"too few to tell: {things} used for a night, {FEWEST_LIVES} are needed"
    watched = f"{count(life.items, 'thing')} watched for up to {number(found.longest)} nights"
    if not life.failed:
        return f"median not reached: none of {watched} failed for good"
    if found.median is None:
        left = percent(found.share_left).replace("\u202f", " ")
        return f"median not reached: {life.failed} of {watched} failed for good, {left} last longer"
    low = number(found.median_low)
    high = number(found.median_high) if found.median_high is not None else "not reached"
    return (
        f"half last {number(found.median)} nights or fewer (90 % interval {low} to {high}), "
        f"{life.failed} of {watched} failed for good"
    )
