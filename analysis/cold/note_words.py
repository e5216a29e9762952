"""What is assumed of ratings, votes, camps and usual lows, beside an answer on cold."""

from collections.abc import Sequence

from ..climate import words as climate_words
from ..climate.outlook import Outlook
from ..display.words import (
    Display,
    count,
    listing,
    sentence,
    temperature_step,
)
from ..stats.constants import NINE_IN_TEN_SD
from .camps import CampsOff
from .limit import ColdLimits
from .ratings import RATING_KINDS


def usual_lows(outlook: Outlook, camps: CampsOff | None, display: Display) -> str:
    """The usual lows and, where one's camps ran colder, what to expect by the figures of the odds.

    "lows near 8 °C, nine nights in ten between 5 and 11 °C by the station’s normals; your camps ran
    about 1.7 °C colder: expect near 6 °C".
    """
    lows = climate_words.lows(outlook, display)
    if camps is None or not camps.colder:
        return lows
    colder = temperature_step(display).text(-camps.taken_c)
    near = climate_words.near(outlook, display, camps.taken_c)
    return (
        f"{lows} by the station’s normals; your camps ran about {colder} colder: expect near {near}"
    )


def camps_note(camps: CampsOff, display: Display) -> str:
    """How far off the normals one's camps were, and what of that is taken on."""
    step, off = temperature_step(display), camps.measured_c
    trips = camps.offset_c.n or 0
    lows = f"on {count(camps.nights, 'night')} of {count(trips, 'trip')} with a low in your log"
    side = "colder" if off < 0 else "milder"
    so_far = f"Your camps were {step.text(abs(off))} {side} than such normals on average, {lows}"
    if camps.taken_c == 0:
        return f"{so_far}. That makes no night to come milder here: it is no promise for the next."
    reach = f"{step.number(-camps.offset_c.high)} to {step.text(-camps.offset_c.low)}"
    return (
        f"{so_far}. The chances take the nights to come to be {step.text(-camps.taken_c)} colder "
        f"than the normals (very likely {reach}): the more trips tell of it, the more of it counts."
    )


def rating_notes(shown: Sequence[str], display: Display) -> tuple[str, ...]:
    """What is assumed of ratings that are not on the limit scale; nothing where all are."""
    step = temperature_step(display, 0)
    what = {
        "comfort": "a comfort rating is taken to stand {shift} above the limit rating of the same "
        "bag, give or take {off}",
        "maker": "a maker’s own figure, or one of which the kind is not given, is taken to stand "
        "{shift} above it, give or take {off}",
    }
    sentences = []
    for name, text in what.items():
        if name in shown:
            kind = RATING_KINDS[name]
            off = NINE_IN_TEN_SD * float(kind.shared_sd_c**2 + kind.own_sd_c**2) ** 0.5
            shift = step.text(kind.shift_c)
            if name == "maker" and "comfort" not in shown:
                text = text.replace("above it", "above the limit rating of the same bag")
            sentences.append(text.format(shift=shift, off=step.text(off)))
    if not sentences:
        return ()
    return (
        sentence(f"Ratings are brought to one scale: {listing(sentences)}"),
        "Limits and comparisons that cross from one kind of rating to another are less sure by "
        "that, and their ranges are wider.",
    )


def votes(limits: ColdLimits, display: Display) -> tuple[str, ...]:
    """That votes stand mostly on bad nights, where they do."""
    held = limits.votes
    if not held.mostly_on_bad_nights:
        return ()
    too_warm = temperature_step(display, 0).text(3)
    return (
        f"Your warmth votes stand mostly on bad nights: {held.bad_voted} of {held.bad} nights "
        f"scored 1 or 2 have one, and {held.other_voted} of the {held.other} others. Limits worked "
        f"from such votes come out about {too_warm} too warm. Vote on good nights, too.",
    )
