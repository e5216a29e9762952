"""Tracks and thermometers that were put on the form: days that they fill, files that are kept."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from ..names import shown
from ..settings import SETTINGS_FILE, Settings, read_settings
from ..text import UnreadableError, decode, split_lines
from ..thermometers.keeping import name_in_trip
from ..thermometers.nights import lows_by_night
from ..thermometers.readings import FileReadings, file_readings
from ..thermometers.recognise import MOST_BYTES, recognise
from ..tracks.gpx import Gpx, TrackError, parse_gpx
from ..tracks.keeping import KnownDistance, TripToFill, rows_of
from ..tracks.reading import measure
from ..tracks.results import Track, TrackDay
from ..tracks.words import HEIGHT_OF, height_in, length_in, sentences
from ..units import F_PER_C, FREEZING_F, MI_KM, SIGNS
from .entry import Amount, Day, Dropped, Filled, Leg, TripEntry

_LONGEST_NAME = 200
"""Bytes of a file's name; file systems take 255."""


def fill(folder: Path, entry: TripEntry, dropped: Iterable[Dropped]) -> Filled:
    """The entry with the days that tracks fill, and with the thermometers' files among its dropped.

    All tracks together count once what two of them have recorded. A day that has a distance by the
    trip's mode keeps it. Nothing is written; a file that cannot be read is named in the remarks and
    left out.
    """
    settings = read_settings(folder)
    files = list(dropped)
    remarks: list[str] = []
    tracks = _tracks([f for f in files if f.kind == "track"], remarks)
    if tracks:
        entry = _with_tracks(entry, tracks, settings, remarks)
    for each in files:
        if each.kind == "thermometer":
            lines, good = _thermometer(entry, each, settings)
            remarks += lines
            if good and each not in entry.dropped:
                entry = replace(entry, dropped=(*entry.dropped, each))
    return Filled(entry, tuple(remarks))


def _tracks(files: Sequence[Dropped], remarks: list[str]) -> list[Gpx]:
    tracks = []
    for each in files:
        try:
            tracks.append(parse_gpx(each.content, each.name))
        except TrackError as error:
            remarks.append(f"{shown(each.name)} {error}")
    return tracks


def _with_tracks(
    entry: TripEntry, tracks: Sequence[Gpx], settings: Settings, remarks: list[str]
) -> TripEntry:
    unit, mode = settings.distance, entry.mode or ""
    track: Track = measure(tracks, settings.timezone, entry.mode)
    if entry.start_on is None or entry.end_on is None:
        remarks.append("Say first on which days the trip was; then its tracks find their days.")
        return entry
    track = track.within(entry.start_on, entry.end_on)
    known = tuple(
        KnownDistance(day.day, leg.mode or mode, _km(leg.distance))
        for day in entry.days
        for leg in day.legs
        if leg.distance is not None
    )
    rows = rows_of(
        track, TripToFill(entry.trip, entry.start_on, entry.end_on, mode, known), "", unit
    )
    remarks += [*sentences(track, unit), *rows.remarks]
    days = {day.day: day for day in entry.days}
    for each in rows.days:
        if each.day is not None:
            days[each.day] = _filled(days.get(each.day, Day(each.day)), each, mode, unit)
    return replace(entry, days=tuple(days[day] for day in sorted(days)))


def _km(amount: Amount) -> float:
    return float(amount.value) * (MI_KM if amount.unit == "mi" else 1)


def _filled(day: Day, track: TrackDay, mode: str, unit: str) -> Day:
    """A day with a leg for what was recorded; one of its mode without a distance is filled in."""
    height, metres = HEIGHT_OF[unit], track.ascent_m
    ascent = None if metres is None else Amount(Decimal(height_in(metres, unit)), height)
    new = Leg(
        mode=mode,
        distance=Amount(Decimal(f"{length_in(track.distance_km, unit):.2f}"), unit),
        ascent=ascent,
        hours=None if track.hours is None else Decimal(f"{track.hours:.2f}"),
    )
    legs = list(day.legs)
    for number, leg in enumerate(legs):
        if (leg.mode or mode) == mode and leg.distance is None:
            legs[number] = replace(
                leg,
                distance=new.distance,
                ascent=leg.ascent or new.ascent,
                hours=new.hours if leg.hours is None else leg.hours,
            )
            return replace(day, legs=tuple(legs))
    return replace(day, legs=(*legs, new))


def kept_name(file: Dropped, there: dict[str, bytes]) -> str:
    """What a thermometer's file is called in the trip's folder; empty where it is there already.

    ``there`` are the files of the folder, by name in lower case.
    """
    name = name_in_trip(Path(file.name))
    stem = name.removesuffix(".csv").encode()[:_LONGEST_NAME].decode(errors="ignore")
    number, name = 1, f"{stem}.csv"
    while name.lower() in there:
        if there[name.lower()] == file.content:
            return ""
        number += 1
        name = f"{stem}-{number}.csv"
    return name


def read_thermometer(file: Dropped, name: str, settings: Settings) -> FileReadings | None:
    """What the logbook reads of such a file as its settings are, None where it is no text."""
    try:
        lines = split_lines(decode(file.content)) if len(file.content) <= MOST_BYTES else []
    except UnreadableError:
        return None
    if not any(map(str.strip, lines)):
        return None
    return file_readings(lines, name, settings.loggers, settings.dates, settings.timezone)


def lines_to_paste(file: Dropped) -> tuple[str, str]:
    """The settings that a file needs, and why it cannot be read; one of them is empty."""
    made = recognise(file.content)
    return made.lines, made.why_not


def _thermometer(entry: TripEntry, file: Dropped, settings: Settings) -> tuple[list[str], bool]:
    """What is to be said of a thermometer's file, and whether it can be kept."""
    read = read_thermometer(file, name_in_trip(Path(file.name)), settings)
    if read is None or not read.readings:
        paste, why_not = lines_to_paste(file)
        if paste:
            where = f"the lines that {SETTINGS_FILE} needs for it are shown before it is written"
            return [f"{shown(file.name)} is a thermometer's file; {where}."], True
        return [f"{shown(file.name)} cannot be read: {why_not or 'it has no reading'}."], False
    said = [f"{shown(file.name)}: {len(read.readings):,} readings."]
    if read.faulty:
        said.append(f"{read.faulty:,} of its rows cannot be read: {read.faults[0]}.")
    if read.remark and settings.timezone:
        said.append(f"{read.remark[0].upper()}{read.remark[1:]}.")
    for low in lows_by_night(read.readings):
        if _is_night(entry, low.night):
            unit = settings.temperature
            part = ", of a part of the night" if low.part else ""
            shown_low = low.low_c * F_PER_C + FREEZING_F if unit == "f" else low.low_c
            degrees = f"{shown_low:.1f} {SIGNS[unit]}"
            said.append(f"Night of {low.night}: {degrees}{part}.")
    return said, True


def _is_night(entry: TripEntry, night: date) -> bool:
    start, end = entry.start_on, entry.end_on
    return start is None or end is None or start <= night < end
