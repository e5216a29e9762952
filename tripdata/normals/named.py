"""The stations that trips name: which they are, and a warning where no normals are at hand."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ..discover import NORMALS_FOLDER
from ..names import nearest, normalised, shown
from ..problems import Findings
from .packaged import packaged_normals
from .station_file import STATION, StationNormals


class NamedStation(NamedTuple):
    """What stands in `station` of a row of trip.csv, and where."""

    file: str
    line: int
    station: str


def by_name(normals: Iterable[StationNormals]) -> dict[str, str]:
    """The identifiers of stations by what a trip may call them: identifier or name, normalised."""
    return {normalised(text): one.station for one in normals for text in (one.name, one.station)}


def check_named(
    named: Iterable[NamedStation], filed: Sequence[StationNormals], findings: Findings
) -> None:
    """Warn once of every station of which no normals are at hand: it serves no trip."""
    every = [*filed, *packaged_normals()]
    known = by_name(every)
    names = [one.name for one in every]
    unknown: dict[str, list[NamedStation]] = defaultdict(list)
    for one in named:
        if normalised(one.station) not in known:
            unknown[normalised(one.station)].append(one)
    for asking in unknown.values():
        file, line, station = asking[0]
        others = len(asking) - 1
        trips = "this trip has" if not others else f"this trip and {others:,} more have"
        problem = (
            f"{shown(station)}: no normals of this station are in {NORMALS_FOLDER}/, so that "
            f"{trips} none; put its file there, or leave the cell blank for the nearest"
        )
        # Identifiers that look alike are places far apart.
        near = "" if STATION.fullmatch(station.upper()) else nearest(station, names)
        findings.warn(file, problem, line, "station", value=station, nearest=near)
