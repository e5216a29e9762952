"""The words of a debrief on its nights: how cold, how slept, how that stands to a limit."""

from collections.abc import Sequence

from ....tripdata.contract import TOO_COLD_VOTE
from ...cold.ratings import RATING_KINDS
from ...cold.words import FEW_JUDGED, RATED_AS
from ...display import words
from ...display.words import Display, count, degrees, own_limit, sentence
from ..nights import TripNight
from .words import plain

NIGHT = {
    1: "a very bad night",
    2: "a bad night",
    3: "a middling night",
    4: "a good night",
    5: "a very good night",
}
# The seven words of the thermal sensation scale (ISO 10551; ANSI/ASHRAE 55).
WARMTH = {
    -3: "cold",
    -2: "cool",
    -1: "slightly cool",
    0: "neither cold nor warm",
    1: "slightly warm",
    2: "warm",
    3: "hot",
}
_NEARLY_ALL, _HARDLY_ANY = 0.95, 0.005


def coldest_night(night: TripNight, display: Display) -> tuple[str, ...]:
    """Return how cold the coldest night was, how it was slept, how that stands to the rating."""
    cold = f"{low_of(night, display)} on the coldest night, "
    first = sentence(", ".join([cold + words.day(night.night, year=False), *slept(night)]))
    return tuple(part for part in (first, against_limit(night, display)) if part)


def felt_cold_too(nights: Sequence[TripNight], told: TripNight | None) -> str:
    """Return which nights felt too cold beside the one that is told already; empty without any."""
    felt = [
        f"{words.day(n.night, year=False)} felt {WARMTH[n.warmth]}"
        for n in nights
        if n.warmth is not None and n.warmth <= TOO_COLD_VOTE and n != told
    ]
    if not felt:
        return ""
    if len(felt) == 1:
        return sentence(f"the night of {felt[0]}")
    return sentence(f"the nights of {words.listing(felt)}")


def low_and_sleep(night: TripNight, display: Display) -> str:
    """Return "Fri 15 May, 0 °C, sleep scored 2 out of 5, felt cool"."""
    when = words.day(night.night, year=False)
    return ", ".join([when, low_of(night, display), *slept(night)])


def slept(night: TripNight) -> list[str]:
    """Return its sleep score and how warm it felt, each in words, as far as they are noted."""
    score = [] if night.sleep_score is None else [f"sleep scored {night.sleep_score} out of 5"]
    return score + ([] if night.warmth is None else [f"felt {WARMTH[night.warmth]}"])


def low_of(night: TripNight, display: Display) -> str:
    """Return a night's low; "or lower" where the thermometer missed the small hours."""
    text = plain(words.temperature_scale(display), night.low_c)
    return f"{text} or lower" if night.low_source == "logger_part" else text


def against_limit(night: TripNight, display: Display) -> str:
    """Return how the low stands to the own limit in the gear that was there, else to its rating."""
    if night.margin_c is None or night.limit_c is None:
        return ""
    limit = _limit_in(night, night.limit_c, display)
    step = words.temperature_step(display)
    own = night.limit_basis == "own"
    apart = step.text(abs(night.margin_c)) if own else plain(step, abs(night.margin_c))
    where = f"{apart} {'below' if night.margin_c < 0 else 'above'}"
    first = f"That is {where} {limit}" if round(night.margin_c, 1) else f"Just at {limit}"
    sentences = [sentence(f"{first}{_share(night)}")]
    if night.failed:
        names = " and ".join(f"“{name}”" for name in night.failed)
        sentences.append(f"{names} had failed, so that this limit does not hold for that night.")
    return " ".join(sentences)


def _limit_in(night: TripNight, limit_c: float, display: Display) -> str:
    """Return "your own limit of 9.4 °C in “Summer quilt”", or the rating by its kind."""
    if night.limit_basis == "own":
        # To a tenth, as the difference from it is told: both add up as shown.
        own = f"your own limit of {own_limit(limit_c, display)} in “{night.rated_name}”"
        nights = count(night.limit_nights, "judged night")
        if (night.limit_nights or 0) >= FEW_JUDGED:
            return f"{own} ({nights})"
        return f"{own}, which rests on only {nights}: too early to say"
    kind = night.rated_as or "maker"
    rating = f"the {RATED_AS[kind]} of “{night.rated_name}”"
    taken = f"{rating}, taken as a limit of {degrees(limit_c, display)}"
    return taken if RATING_KINDS[kind].shift_c else rating


def _share(night: TripNight) -> str:
    """Return ": about 1 in 3 such nights is too cold for you", where that is known."""
    share = night.too_cold_share
    if share is None or night.failed or (night.limit_nights or 0) < FEW_JUDGED:
        return ""
    if share > _NEARLY_ALL:
        return ": almost every such night is too cold for you"
    if share < _HARDLY_ANY:
        return ": hardly any such night is too cold for you"
    many = words.one_in(share)
    return f": {many} such nights {'is' if ' 1 in ' in many else 'are'} too cold for you"
