"""What to know of the amounts that a trip takes, in sentences."""

from collections.abc import Iterator, Sequence

from ..display.cautions import CHARGING_CARE, FIRE_CARE
from ..display.words import Display, count, quoted
from .likeness import LONG_NIGHTS
from .needs import Consumption
from .results import Need, TripAhead
from .unlike import unlike_sentence


def remarks(ahead: TripAhead, consumption: Consumption, batteries: Sequence[Need]) -> Iterator[str]:
    """A sentence or two on each thing that the figures alone do not say."""
    title = f"“{ahead.trip.title}”"
    if ahead.unlike is not None:
        yield f"{title}: {unlike_sentence(ahead.unlike, Display())}"
    if ahead.people > 1:
        yield f"{title} is for {ahead.people} people: amounts are for all of them together."
    if bare := [need.name for need in consumption.needs if not need.trips]:
        yield (
            f"{title}: no trip before it tells how much of {quoted(bare)} you use, so only "
            "common practice is used."
        )
    if gone := [need.name for need in consumption.needs if need.trips and not need.tells]:
        yield (
            f"{title}: nothing of {quoted(gone)} came home from any trip that tells of it, so it "
            "is only known that each took that much or more. How much would be enough is not known."
        )
    if whole := [need.name for need in consumption.needs if need.with_can]:
        yield (
            f"{title}: of {quoted(whole)} nothing came home from some trip, so an empty can or "
            "bottle weighed with it counts as burnt: too much rather than too little."
        )
    if consumption.too_few_trips:
        yield (
            f"{title}: too few trips are known to say how much it takes of "
            f"{quoted(consumption.too_few_trips, at_most=3)}. Note in brought_home what is left of "
            "it, and 0 where nothing is."
        )
    if consumption.by_night:
        names = quoted(consumption.by_night, at_most=3)
        yield f"{title} has no night, and {names} is used by night: it takes none of it."
    yield from home_unmarked_words(consumption)
    yield from left_out(consumption)
    yield from on_the_way(ahead, consumption)
    if not ahead.listed:
        yield f"{title} has no list yet, so nothing is compared with what it takes."
    if batteries and ahead.way_from == "like":
        yield (
            f"{title} has no distances of its own: each day is taken as the middle day of "
            f"{count(len(ahead.like), 'trip')} like it."
        )
    if batteries and ahead.way_from == "partly":
        yield (
            f"{title} has no distance noted for some of its days: each of these is taken as the "
            f"middle day of {count(len(ahead.like), 'trip')} like it."
        )
    if any(need.system == "cook" for need in consumption.needs):
        yield FIRE_CARE
    if batteries:
        yield CHARGING_CARE


def home_unmarked_words(consumption: Consumption) -> tuple[str, ...]:
    """What came home weighed and is no consumable, in a sentence, and what to write; or nothing."""
    if not consumption.unmarked:
        return ()
    return (
        f"What came home of {quoted(consumption.unmarked, at_most=3)} is noted (brought_home), but "
        "no amount can be worked out of it: mark what is eaten or burnt as consumable in the "
        "column carried_as of gear.csv.",
    )


def left_out(consumption: Consumption) -> tuple[str, ...]:
    """Which trips are left out: more came home than was taken, or several pieces untouched."""
    untouched = (
        f"“{name}” came home from “{trip}” as heavy as it went, so that trip says nothing about "
        "it. What came home (brought_home in its carried.csv) is what was left of one piece."
        for name, trip in consumption.untouched
    )
    heavier = (
        f"More of “{name}” came home from “{trip}” than was taken, so that trip is left out of it. "
        "Look at the two weights in its carried.csv."
        for name, trip in consumption.heavier_home
    )
    return (*heavier, *untouched)


def on_the_way(ahead: TripAhead, consumption: Consumption) -> Iterator[str]:
    """That nobody carries it all at once, where the trip is long."""
    if ahead.nights >= LONG_NIGHTS and any(need.unit == "g" for need in consumption.needs):
        yield (
            f"From {LONG_NIGHTS} nights on food and fuel are bought on the way: amounts are of the "
            "whole trip, not of what to carry at once."
        )
