"""What normals say of a trip that was and of nights to come, in words."""

from ..display import words
from ..display.words import Display
from ..stats.ar1_chain import NIGHT_TO_NIGHT, NIGHT_TO_NIGHT_RANGE
from ..stats.constants import NINE_IN_TEN_SD
from .normals import TripContext
from .outlook import NORMALS_OFF_SD, RARE_SD, Outlook, OutlookNight
from .station_choice import NoStation
from .station_words import no_station, normals_in_short, source_and_place

ALIKE = f"correlation {NIGHT_TO_NIGHT:g}"
"""How alike neighbouring nights are taken to be."""
RANGE_HOLDS = ("nights alike by {:g} to {:g} and normals off by {:g} standard deviations").format(
    *NIGHT_TO_NIGHT_RANGE, NORMALS_OFF_SD
)
"""What the range of a chance of cold nights holds."""

_AS_USUAL_C = 0.25
_ORDINARY_SD = 0.7


def trip_sentence(
    context: TripContext, display: Display, camps_colder_c: float | None = None
) -> str:
    """The trip against what is usual, in one sentence; empty where nothing can be said.

    ``camps_colder_c``: how much colder than such normals camps before it were on average, in °C,
    where that is worth a sentence.
    """
    if isinstance(context.station, NoStation) or context.anomaly_c is None:
        return ""
    many = len(context.nights)
    if context.judged < many:
        subject = f"The {words.count(context.judged, 'night')} with a known low"
        subject += " was" if context.judged == 1 else " were on average"
    else:
        subject = "The night was" if many == 1 else "The nights were on average"
    anomaly = context.anomaly_c
    how = f"{difference(anomaly, display)} than usual"
    if abs(anomaly) < _AS_USUAL_C:
        how = "about as cold as usual"
    where = "for the place and date" if many == 1 else "for the place and dates"
    return f"{subject} {how} {where}{_rarity(context)}{_whose(context, display, camps_colder_c)}."


def trip_in_short(
    context: TripContext, display: Display, camps_colder_c: float | None = None
) -> str:
    """ "On average 4.2 °C colder than usual: about 1 in 12 such trips is as cold.", or nothing."""
    if isinstance(context.station, NoStation) or context.anomaly_c is None:
        return ""
    how = f"{difference(context.anomaly_c, display)} than usual"
    if abs(context.anomaly_c) < _AS_USUAL_C:
        how = "about as cold as usual"
    mean = "on average " if context.judged > 1 else ""
    told = f"{_rarity(context)}{_whose(context, display, camps_colder_c)}"
    return words.sentence(f"{mean}{how}{told}")


def trip_source(context: TripContext, display: Display) -> tuple[str, ...]:
    """What a trip is set beside, or why it is set beside nothing; nothing where no low is known."""
    station = context.station
    if isinstance(station, NoStation):
        return (no_station(station, display),)
    if context.anomaly_c is None:
        return ()
    usual = words.sentence(f"usual: {source_and_place(station, display)}")
    return (usual, *normals_in_short(station, display))


def _whose(context: TripContext, display: Display, camps_colder_c: float | None) -> str:
    """Of a cold that is told to be unusual: by what, where one's camps were colder than that."""
    if camps_colder_c is None or "as cold" not in _rarity(context):
        return ""
    colder = words.temperature_difference(camps_colder_c, display)
    return f", by the station’s normals; your camps before were {colder} colder on average"


def _rarity(context: TripContext) -> str:
    deviations, chance = context.deviations, context.p_as_cold
    if deviations is None or chance is None or abs(context.anomaly_c or 0.0) < _AS_USUAL_C:
        return ""
    if abs(deviations) < _ORDINARY_SD:
        return ", which is nothing out of the ordinary"
    side = "cold" if deviations < 0 else "mild"
    if abs(deviations) > RARE_SD:
        return f", which is rare: hardly any such trip is as {side}"
    chance = chance if deviations < 0 else 1 - chance
    if len(context.nights) == 1:
        # Of the hundred nights that the table beside it counts.
        chance = round(100 * chance) / 100 if chance >= 0.01 else chance
    many = words.one_in(chance)
    if len(context.nights) == 1:
        return f": {many.replace(' in ', ' night in ', 1)} there is as {side}"
    return f": {many} such trips is as {side}"


def difference(anomaly_c: float, display: Display) -> str:
    """ "2.4 °C colder" or "0.6 °C milder"."""
    side = "colder" if anomaly_c < 0 else "milder"
    return f"{words.temperature_difference(abs(anomaly_c), display)} {side}"


def outlook_sentences(outlook: Outlook, display: Display) -> tuple[str, ...]:
    """The outlook in words, its answer first."""
    if not outlook.nights:
        return ("This is a day out: there is no night to look at.",)
    usual = f"Usual there and then: {lows(outlook, display)}."
    if outlook.below_c is None:
        return (
            usual,
            "Name a temperature, or give the sleep gear that comes along a rated low, "
            "to learn how likely a colder night is.",
        )
    below = words.degrees(outlook.below_c, display)
    one = len(outlook.nights) == 1
    if outlook.rare:
        return (f"A night below {below} would be rare.", usual)
    if outlook.p_any is None:
        return (
            usual,
            f"The chance of a night below {below} is not known: nothing there says how much "
            "single nights differ.",
        )
    chance = words.one_in(outlook.p_any.value)
    night = "the night falls" if one else f"at least one of the {len(outlook.nights)} nights falls"
    ends = (outlook.p_any.low, outlook.p_any.high)
    low, high = (words.one_in(end).removeprefix("about ") for end in ends)
    between = f", and it may be anything from {low} to {high}" if low != high else ""
    return (f"How likely it is that {night} below {below}: {chance}{between}.", usual)


def night_chance(night: OutlookNight) -> str | None:
    """The chance of one night, "rare" where the figures can say no more; None where not known."""
    if night.rare:
        return "rare"
    return None if night.p_below is None else words.one_in(night.p_below)


def lows(outlook: Outlook, display: Display) -> str:
    """The usual lows and how far single nights stray: "lows near 8 °C, nine nights in ten ..."."""
    usual = near(outlook, display)
    spans = (night.middle_c(NINE_IN_TEN_SD) for night in outlook.nights)
    ends = [span for span in spans if span is not None]
    if len(ends) < len(outlook.nights):
        return f"lows near {usual}"
    low, high = min(low for low, _ in ends), max(high for _, high in ends)
    return f"lows near {usual}, nine nights in ten between {_span(low, high, display, ' and ')}"


def near(outlook: Outlook, display: Display, off_c: float = 0.0) -> str:
    """Between which lows the normals of its nights lie: "8 °C", "6 to 8 °C"; all ``off_c`` off."""
    normals = [night.normal_low_c + off_c for night in outlook.nights]
    return _span(min(normals), max(normals), display)


def _span(low: float, high: float, display: Display, joint: str = " to ") -> str:
    scale = words.temperature_scale(display, 0)
    first, last = scale.number(low), scale.text(high)
    return last if scale.number(low) == scale.number(high) else f"{first}{joint}{last}"


def of_a_hundred(percentile: float) -> str:
    """How many of a hundred nights are as cold or colder: "9", "under 1", "over 99"."""
    if percentile < 1:
        return "under 1"
    return "over 99" if percentile > 99 else f"{round(percentile)}"
