"""Stations in words: whose normals they are, how good, how far away, or why there are none."""

from ...tripdata.normals.distance import MAX_DISTANCE_KM, MAX_HEIGHT_M
from ..display import words
from ..display.words import DASH, Display
from .station_choice import LAPSE_C_PER_M, NoStation, StationChoice

WHERE_FROM = (
    "NOAA publishes normals of the low for more than 7,300 stations in the United States and its "
    "territories: U.S. Climate Normals, daily, 1991-2020, a CSV file for each station. Put the "
    "file of one nearby into the logbook’s normals folder, under any name. For other countries it "
    "has none."
)
_WORTH_NAMING_KM = 500.0
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
    if difference is not None and round(difference) == 0:
        parts.append("at the same height")
    elif difference is not None:
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


def source_and_place(station: StationChoice, display: Display) -> str:
    """Whose normals, of when, and how the station lies to the place it serves."""
    where = whereabouts(station, display)
    return f"{normals_source(station)}{f', {where}' if where else ''}"


def _others(station: StationChoice) -> str:
    """Whose the spread of single nights is, where it is of other normals than the lows are."""
    if not station.spread_of_others:
        return ""
    product = _PRODUCTS[station.spread_product or ""]
    years = period_text(station.spread_period or "")
    packed = " that come with Tarebook" if station.spread_file is None else ""
    return f"; how much single nights differ is from its {product} {years}{packed}"


def normals_in_short(station: StationChoice, display: Display) -> tuple[str, ...]:
    """The limits of the packaged normals in a sentence; nothing for those of a file."""
    if not station.packaged:
        return ()
    reach = whole_distance(MAX_DISTANCE_KM, display)
    return (
        f"These built-in normals are a stopgap: worked out from hourly values of "
        f"{period_text(station.period)} at two airports, used within {reach}. A file in the "
        "logbook’s normals folder replaces them.",
    )


def normals_caveats(station: StationChoice, display: Display) -> tuple[str, ...]:
    """What to know of the normals of a station, a sentence each."""
    notes = []
    if station.packaged:
        notes.append(
            "These built-in normals are a stopgap. They are those of two airports, Seattle and San "
            f"Francisco, used for {whole_distance(MAX_DISTANCE_KM, display)} around, and stand for "
            f"the climate of {period_text(station.period)}, which has moved since. {WHERE_FROM}"
        )
    elif station.period == "1981-2010":
        notes.append("The climate has moved since 1981–2010; the normals of 1991–2020 fit better.")
    if station.kind == "hours":
        notes.append(
            "Lows from hourly normals are the weaker kind: they stand too high, in winter by "
            f"{words.temperature_difference(1, display)} and more, so nights look colder than they "
            "are."
        )
    if station.kind == "curve":
        notes.append(
            "The days are a smooth curve through NOAA’s monthly normals (within "
            f"{words.temperature_difference(0.3, display)} of its daily ones where both are "
            "known). Monthly files do not tell how much single nights differ"
            + ("; that is from another file." if station.spread_of_others else ".")
        )
    spread = station.spread_from or ""
    if not spread and station.kind != "curve":
        notes.append(
            "How much single nights differ from the normal is not known there, so no chances "
            "are given."
        )
    elif spread.startswith("observed"):
        notes.append(
            "How much single nights differ is worked out from the lows observed in "
            f"{period_text(spread.split()[-1])}: four years only, so it may be off by a sixth."
        )
    elif spread == "hourly percentiles":
        notes.append(
            "How much single nights differ is that of the coldest hour, a little wider than that "
            "of the lows."
        )
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


def no_station(none: NoStation, display: Display) -> str:
    """Why no normals serve a trip or place, and what to do about it, as a sentence or two."""
    if none.reason == "no_place":
        return "The trip has no latitude and longitude, so no weather station can be found for it."
    if none.reason == "unknown_station":
        return (
            f"The trip names the station {none.station}, of which there are no normals here. Put "
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
