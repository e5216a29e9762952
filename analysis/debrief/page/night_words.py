"""The words of a debrief on its nights: how cold, how slept, how that stands to a limit."""

from collections.abc import Sequence
from datetime import date

from ....tripdata.contract import TOO_COLD_VOTE
from ...cold.ratings import RATING_KINDS
from ...cold.words import FEW_JUDGED, RATED_AS
from ...display import words
from ...display.words import Display, count, degrees, own_limit, quoted, sentence
from ...store.rows import Record
from ..nights import TripNight
from .weather_panel import falls
from .words import plain

_NIGHT = {
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
_PART = "logger_part"
"""The source of a low where the thermometer missed the small hours."""
_WINDIER_KMH = 10.0
"""About a step of the Beaufort scale (WMO-No. 8: from 4, 20 to 28 km/h, to 5, 29 to 38 km/h)."""
_NEARLY_ALL, _HARDLY_ANY = 0.95, 0.005


def coldest_night(night: TripNight, display: Display) -> tuple[str, ...]:
    """Return how cold the coldest night was, how it was slept, how that stands to the rating."""
    cold = f"{low_of(night, display)} on the coldest night, "
    first = sentence(", ".join([cold + words.day(night.night, year=False), *slept(night)]))
    return tuple(part for part in (first, against_limit(night, display)) if part)


def how_was(night: TripNight) -> str:
    """Return ", a bad night"; of one that felt too cold that it was, whatever its sleep score."""
    if felt_too_cold(night):
        return ", too cold"
    return f", {_NIGHT[night.sleep_score]}" if night.sleep_score is not None else ""


def felt_too_cold(night: TripNight) -> bool:
    """Whether its owner judged it too cold."""
    return night.warmth is not None and night.warmth <= TOO_COLD_VOTE


def felt_cold_too(
    nights: Sequence[TripNight],
    told: TripNight | None,
    weather: Sequence[Record],
    display: Display,
    gone: Sequence[Record] = (),
) -> str:
    """Return which nights felt too cold beside the one that is told already; empty without any.

    Of those that felt colder than a colder night it says what the record has of them that it has
    not of that one, or that it has nothing; then what to wear or to sleep in went on that day or
    the one before. weather: rows of `trip_weather`, gone: of `gone_early`.
    """
    felt = [n for n in nights if felt_too_cold(n) and n != told]
    alike, odd = [], []
    for night in felt:
        milder = None if told is None else _milder_by(night, told)
        if told is None or milder is None:
            alike.append(f"{words.day(night.night, year=False)} felt {_felt(night)}")
        else:
            by = words.temperature_difference(milder, display)
            missed = night.low_source == _PART and told.low_source != _PART
            odd.append(_why_colder(night, by, _unlike(night, told, weather, display), missed))
            odd += _went_before(night, gone)
    which = "the night" if len(alike) == 1 else "the nights"
    first = [sentence(f"{which} of {words.listing(alike)}")] if alike else []
    return " ".join([*first, *odd])


def _felt(night: TripNight) -> str:
    return WARMTH[night.warmth or 0]


def _milder_by(night: TripNight, coldest: TripNight) -> float | None:
    """By how many kelvins a night that felt colder than the coldest was milder; None of others."""
    if night.warmth is None or coldest.warmth is None or night.warmth >= coldest.warmth:
        return None
    if night.low_c is None or coldest.low_c is None:
        return None
    by = night.low_c - coldest.low_c
    return by if round(by, 1) > 0 else None


def _why_colder(night: TripNight, milder: str, noted: Sequence[str], missed: bool) -> str:
    """What the record has of a milder night that felt colder; it claims no cause."""
    day = words.day(night.night, year=False)
    first = f"The night of {day} felt {_felt(night)}, though it was {milder} milder"
    if noted:
        first += f"; noted of it and not of the coldest night: {words.listing(noted)}"
    if missed:
        return f"{first}. The thermometer missed its small hours, so it may have been colder."
    return f"{first}." if noted else f"{first}; the record does not say why."


def _went_before(night: TripNight, gone: Sequence[Record]) -> list[str]:
    """What came along until the day of a night or the one before; it claims no cause."""
    names: dict[date, list[str]] = {}
    for row in gone:
        if 0 <= (night.night - row["until_day"]).days <= 1:
            names.setdefault(row["until_day"], []).append(row["name"])
    return [
        f"{quoted(of_day)} came along until {words.day(day, year=False)}."
        for day, of_day in names.items()
    ]


def _unlike(
    night: TripNight, other: TripNight, weather: Sequence[Record], display: Display
) -> list[str]:
    """What is noted of one night that is not of the other: what failed, sleep gear, rain, wind."""
    by_day = {row["day"]: row for row in weather}
    here, there = by_day.get(night.night, {}), by_day.get(other.night, {})
    noted = [f"{quoted([name])} had failed" for name in night.failed if name not in other.failed]
    if night.rated_name and other.rated_name and night.rated_name != other.rated_name:
        noted.append(f"“{night.rated_name}” and not “{other.rated_name}” to sleep in")
    if here.get("wet") and not there.get("wet"):
        noted.append(falls([here]))
    wind, less = here.get("wind_kmh"), there.get("wind_kmh")
    if wind is not None and less is not None and wind - less >= _WINDIER_KMH:
        speed = words.speed_scale(display)
        noted.append(f"more wind ({speed.text(wind)} against {speed.number(less)})")
    return noted


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
    return f"{text} or lower" if night.low_source == _PART else text


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
