"""Normals in words: whose they are, how good, and what they say of a trip or nights to come."""

from ..display import words
from ..display.words import DASH, Display
from ..stats.ar1_chain import NIGHT_TO_NIGHT, NIGHT_TO_NIGHT_RANGE
from ..stats.constants import NINE_IN_TEN_SD
from .normals import TripContext
from .outlook import NORMALS_OFF_SD, RARE_SD, Outlook, OutlookNight
from .station_choice import LAPSE_C_PER_M, MAX_DISTANCE_KM, MAX_HEIGHT_M, NoStation, StationChoice

ALIKE = f"correlation {NIGHT_TO_NIGHT:g}"
"""How alike neighbouring nights are taken to be."""
RANGE_HOLDS = ("nights alike by {:g} to {:g} and normals off by {:g} standard deviations").format(
    *NIGHT_TO_NIGHT_RANGE, NORMALS_OFF_SD
)
"""What the range of a chance of cold nights holds."""

WHERE_FROM = (
    "NOAA publishes normals of the low for more than 7,300 stations in the United States and its "
    "territories: U.S. Climate Normals, daily, 1991-2020, a CSV file for each station. Put the "
    "file of one nearby into the logbook’s normals folder, under any name. For other countries it "
    "has none."
)
_AS_USUAL_C = 0.25
_WORTH_NAMING_KM = 500.0
_ORDINARY_SD = 0.7
_PRODUCTS = {"daily": "daily normals", "monthly": "monthly normals", "hourly": "hourly normals"}
_COMPLETENESS = {"P": "provisional", "Q": "estimated from neighbours", "E": "estimated"}


def station_name(name: str) -> str:
    """A station's name as people write it: Lebanon Muni AP, NH for LEBANON MUNI AP, NH US."""
    place, _, state = name.removesuffix(" US").partition(",")
    parts = [
        part.capitalize() if part.isupper() and len(part) > 2 else part for part in place.split()
    ]
    return ", ".join(part for part in (" ".join(parts), state.strip()) if part)


def period_text(text: str) -> str:
    """A period with the dash that people write."""
    return text.replace("-", DASH)


def whereabouts(station: StationChoice, display: Display) -> str:
    """How a station lies to the place it serves: "26 km away and 77 m lower"."""
    parts = []
    if station.distance_km is not None:
        parts.append(f"{whole_distance(station.distance_km, display)} away")
    difference = station.height_difference_m
    if difference is not None:
        if round(difference) == 0:
            parts.append("at the same height")
        else:
            side = "lower" if difference > 0 else "higher"
            parts.append(f"{words.height(abs(difference), display)} {side}")
    return words.listing(parts)


def whole_distance(km: float, display: Display) -> str:
    """A distance in whole kilometres or miles."""
    return words.distance_scale(display, 0).text(km)


def normals_source(station: StationChoice) -> str:
    """Whose normals and of when."""
    owner = "the" if station.packaged else "NOAA’s"
    what = f"{owner} {_PRODUCTS[station.product]} {period_text(station.period)}"
    packed = " that come with Tarebook" if station.packaged else ""
    return f"{what} of {station_name(station.name)} ({station.station}){packed}{_others(station)}"


def _others(station: StationChoice) -> str:
    """Whose the spread of single nights is, where it is of other normals than the lows are."""
    if not station.spread_of_others:
        return ""
    product = _PRODUCTS[station.spread_product or ""]
    years = period_text(station.spread_period or "")
    packed = " that come with Tarebook" if station.spread_file is None else ""
    return f"; how far single nights stray is from its {product} {years}{packed}"


def normals_in_short(station: StationChoice, display: Display) -> tuple[str, ...]:
    """The limits of the packaged normals in a sentence; nothing for those of a file."""
    if not station.packaged:
        return ()
    reach = whole_distance(MAX_DISTANCE_KM, display)
    return (
        f"They are for a first try: the weaker kind, from hours, of {period_text(station.period)}, "
        f"and reach {reach} around two airports; a file in the logbook’s normals folder "
        "replaces them.",
    )


def normals_caveats(station: StationChoice, display: Display) -> tuple[str, ...]:
    """What to know of the normals of a station, a sentence each."""
    notes = []
    if station.packaged:
        notes.append(
            "These normals come with the program for a first try: of two airports, Seattle and San "
            f"Francisco, for {whole_distance(MAX_DISTANCE_KM, display)} around, and of the climate "
            f"of {period_text(station.period)}, which has moved since. {WHERE_FROM}"
        )
    elif station.period == "1981-2010":
        notes.append("The climate has moved since 1981–2010; the normals of 1991–2020 fit better.")
    if station.kind == "hours":
        notes.append(
            "Lows from hourly normals are the weaker kind: they stand too high, in winter by "
            f"{words.temperature_difference(1, display)} and more, so that nights look colder "
            "against them than they are."
        )
    if station.kind == "curve":
        notes.append(
            "The days are a smooth curve through NOAA’s monthly normals (within "
            f"{words.temperature_difference(0.3, display)} of its daily ones where both are "
            "known). Monthly files do not tell how far single nights stray"
            + ("; that is from another file." if station.spread_of_others else ".")
        )
    notes += _spread(station)
    if station.completeness in _COMPLETENESS:
        years = f", from {station.years} years" if station.years else ""
        notes.append(f"NOAA marks them as {_COMPLETENESS[station.completeness]}{years}.")
    if station.height_difference_m is None:
        notes.append("The height of the camp or of the station is not known: no correction for it.")
    elif abs(station.height_difference_m) >= 1:
        notes.append(
            f"Brought to the height of the camp by {_lapse(display)} (the standard atmosphere); on "
            "clear nights a valley can be colder than the slope above it."
        )
    if station.named and not station.in_reach:
        notes.append("The trip names this station, though it lies farther off than normals carry.")
    return tuple(notes)


def _lapse(display: Display) -> str:
    per_m, step = (1000, "kilometre") if display.distance == "km" else (304.8, "1000 feet")
    return f"{words.temperature_difference(-LAPSE_C_PER_M * per_m, display)} for each {step}"


def _spread(station: StationChoice) -> list[str]:
    if station.spread_from is None:
        if station.kind == "curve":
            return []
        return [
            "How far single nights stray from the normal is not known there, so that no "
            "chances can be told."
        ]
    if station.spread_from.startswith("observed"):
        return [
            "How far single nights stray is worked out from the lows observed in "
            f"{period_text(station.spread_from.split()[-1])}: four years only, so that it "
            "may be off by a sixth."
        ]
    if station.spread_from == "hourly percentiles":
        return [
            "How far single nights stray is that of the coldest hour, a little wider than that "
            "of the lows."
        ]
    return []


def no_station(none: NoStation, display: Display) -> str:
    """Why no normals serve a trip or place, and what to do about it, as a sentence or two."""
    if none.reason == "no_place":
        return (
            "The trip has no latitude and longitude in trip.csv, so that no weather station "
            "can be found for it."
        )
    if none.reason == "unknown_station":
        return (
            f"The trip names the station {none.station}, of which there are no normals here; put "
            "its file into the logbook’s normals folder."
        )
    reach, height = whole_distance(MAX_DISTANCE_KM, display), words.height(MAX_HEIGHT_M, display)
    nearest = ""
    if none.nearest is not None and (none.nearest.distance_km or 0) < _WORTH_NAMING_KM:
        nearest = (
            f"; the nearest, {station_name(none.nearest.name)}, is "
            f"{whereabouts(none.nearest, display)}"
        )
    return (
        f"No weather station with normals lies within {reach} and {height} of height of the "
        f"camp{nearest}."
    )


def trip_sentence(context: TripContext, display: Display) -> str:
    """The trip against what is usual, in one sentence; empty where nothing can be said."""
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
    return f"{subject} {how} {where}{_rarity(context)}."


def trip_source(context: TripContext, display: Display) -> tuple[str, ...]:
    """What a trip is set beside, or why it is set beside nothing; nothing where no low is known."""
    station = context.station
    if isinstance(station, NoStation):
        return (no_station(station, display),)
    if context.anomaly_c is None:
        return ()
    where = whereabouts(station, display)
    usual = words.sentence(f"usual: {normals_source(station)}{f', {where}' if where else ''}")
    return (usual, *normals_in_short(station, display))


def _rarity(context: TripContext) -> str:
    deviations, chance = context.deviations, context.p_as_cold
    if deviations is None or chance is None or abs(context.anomaly_c or 0.0) < _AS_USUAL_C:
        return ""
    if abs(deviations) < _ORDINARY_SD:
        return ", which is nothing out of the ordinary"
    side = "cold" if deviations < 0 else "mild"
    if abs(deviations) > RARE_SD:
        return f", which is rare: hardly any such trip is as {side}"
    many = words.one_in(chance if deviations < 0 else 1 - chance)
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
    below = threshold(outlook, display)
    one = len(outlook.nights) == 1
    if outlook.rare:
        return (f"A night below {below} would be rare.", usual)
    if outlook.p_any is None or outlook.p_any_low is None or outlook.p_any_high is None:
        return (
            usual,
            f"How likely a night below {below} is cannot be told: how far single nights "
            "stray is not known there.",
        )
    chance = words.one_in(outlook.p_any)
    night = "the night falls" if one else f"at least one of the {len(outlook.nights)} nights falls"
    low, high = (plain_chance(p) for p in (outlook.p_any_low, outlook.p_any_high))
    between = f", and it may be anything from {low} to {high}" if low != high else ""
    return (f"How likely it is that {night} below {below}: {chance}{between}.", usual)


def night_chance(night: OutlookNight) -> str | None:
    """The chance of one night, "rare" where the figures can say no more; None where not known."""
    if night.rare:
        return "rare"
    return None if night.p_below is None else words.one_in(night.p_below)


def plain_chance(chance: float) -> str:
    """A chance without its "about"."""
    return words.one_in(chance).removeprefix("about ")


def threshold(outlook: Outlook, display: Display) -> str:
    """The threshold as a person reads it, with a decimal only where it has one."""
    shown = words.temperature_scale(display).value(outlook.below_c)
    whole = shown is not None and abs(shown - round(shown)) < 0.05
    return words.temperature(outlook.below_c, display, 0 if whole else 1)


def lows(outlook: Outlook, display: Display) -> str:
    """The usual lows and how far single nights stray: "lows near 8 °C, nine nights in ten ..."."""
    normals = [night.normal_low_c for night in outlook.nights]
    near = _span(min(normals), max(normals), display)
    spans = (night.middle_c(NINE_IN_TEN_SD) for night in outlook.nights)
    ends = [span for span in spans if span is not None]
    if len(ends) < len(normals):
        return f"lows near {near}"
    low, high = min(low for low, _ in ends), max(high for _, high in ends)
    return f"lows near {near}, nine nights in ten between {_span(low, high, display, ' and ')}"


def _span(low: float, high: float, display: Display, joint: str = " to ") -> str:
    scale = words.temperature_scale(display, 0)
    first, last = scale.number(low), scale.text(high)
    return last if scale.number(low) == scale.number(high) else f"{first}{joint}{last}"


def of_a_hundred(percentile: float) -> str:
    """How many of a hundred nights are as cold or colder: "9", "under 1", "over 99"."""
    if percentile < 1:
        return "under 1"
    return "over 99" if percentile > 99 else f"{round(percentile)}"
