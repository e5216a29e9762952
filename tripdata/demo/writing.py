"""Writes the demo logbook as the CSV files that its owner would keep."""

import csv
from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields
from datetime import date, datetime
from pathlib import Path
from typing import Any

from ..data_package import describe_logbook
from ..table_schema import PACKAGE_FILE, package_text
from .feeling import Vote
from .gear import inventory
from .life import DrawnLeg, Story, Use, lives
from .mishaps import DrawnFailure, Workshop
from .packing import CarriedRow
from .tables import file_text, picture_bytes, table_rows
from .trips import TRIPS, Trip

Cell = str | int | float | date | datetime | None


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        return cell.strftime("%Y-%m-%d %H:%M")
    if isinstance(cell, date):
        return cell.isoformat()
    return f"{cell:g}" if isinstance(cell, float) and abs(cell) < 1e5 else str(cell)


def _write(path: Path, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
    """Write one file; nothing where there are no rows, as nobody keeps an empty file."""
    lines = [[_text(cell) for cell in row] for row in rows]
    if not lines:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(lines)


def _write_records(path: Path, kind: type[Any], records: Iterable[Any]) -> None:
    """Write dataclass instances whose fields are the columns of the file."""
    header = [field.name for field in fields(kind)]
    _write(path, header, [[getattr(record, name) for name in header] for record in records])


def _write_weighings(folder: Path, workshop: Workshop) -> None:
    header = ("item", "weighed_on", "weight_g", "note")
    rows: list[list[Cell]] = [[row[name] for name in header] for row in table_rows("weighings")]
    rows += [
        ["sleeping-mat", day.isoformat(), grams, "After patching"]
        for day, grams in workshop.patched_mat()
    ]
    _write(folder / "weighings.csv", header, sorted(rows, key=lambda row: str(row[1])))


def _trip_cells(trip: Trip) -> dict[str, Cell]:
    own = ("trip", "title", "start_on", "end_on", "mode")
    # The use record is left blank in the first year, when it was not known to matter.
    quiet = trip.plan or (trip.start_on.year == 2023 and trip.use_record == "full")
    return {
        **{name: getattr(trip, name) for name in own},
        "place": trip.place.name,
        **{name: getattr(trip.place, name) for name in ("latitude", "longitude", "elevation_m")},
        "use_record": "" if quiet else trip.use_record,
        "plan": "yes" if trip.plan else "",
        "note": trip.note,
    }


def _temperatures(path: Path, story: Story) -> None:
    readings = [reading for night in story.nights for reading in night.readings]
    if story.trip.logger == 60:
        _old_thermometer(path.with_name("temperatures-thermometer.csv"), readings)
        return
    header: tuple[str, ...] = ("at", "temperature_c")
    rows: list[Sequence[Cell]] = [(at, value_c) for at, value_c in readings]
    if story.trip.surely("inside", 0):
        header = (*header, "spot")
        rows = [(at, value_c, "camp") for at, value_c in readings]
        # A second thermometer inside the tent, warmer by what one breathes.
        rows += [(at, round(value_c + 2.4, 1), "shelter") for at, value_c in readings]
    _write(path, header, rows)


def _old_thermometer(path: Path, readings: list[tuple[datetime, float]]) -> None:
    """A file as the old thermometer wrote it, dropped in unchanged; see [logger] in data."""
    rows = [
        (number, at.strftime("%m/%d/%Y %H:%M"), f"{value_c:.1f}")
        for number, (at, value_c) in enumerate(readings, start=1)
    ]
    _write(path, ("No.", "Clock", "Celsius"), rows)


def _weather(path: Path, story: Story) -> None:
    header = ("day", "wet", "rain_mm", "wind_kmh", "low_c", "high_c", "conditions")
    lows = {night.day: night.low_c for night in story.nights if night.noted}
    if story.trip.use_record == "none":
        return
    rows = [
        (
            d.day,
            "yes" if d.wet and d.rain_mm is None else "",
            d.rain_mm,
            d.wind_kmh,
            lows.get(d.day),
            d.high_c,
            "; ".join(d.conditions) or "none",
        )
        for d in story.days
    ]
    _write(path, header, rows)


def _wished(path: Path, story: Story) -> None:
    rows = []
    for wish in story.trip.wished:
        wanted = wish["wanted"]
        names = ("", wanted) if wanted in inventory() else (wanted, "")
        rows.append((*names, wish["system"], wish["how_much"]))
    _write(path, ("what", "item", "system", "how_much"), rows)


_TRIP_FILES: dict[str, Callable[[Path, Story], None]] = {
    "carried": lambda path, story: _write_records(path, CarriedRow, story.rows),
    "used": lambda path, story: _write_records(path, Use, story.uses),
    "failures": lambda path, story: _write_records(path, DrawnFailure, story.failures),
    "temperatures": _temperatures,
    "distances": lambda path, story: _write_records(path, DrawnLeg, story.legs),
    "weather": _weather,
    "comfort": lambda path, story: _write_records(path, Vote, story.votes),
    "wished": _wished,
}


_PICTURED = ("2024-07-up-the-sound", "evening.png")
"""The trip that has a picture in its folder."""


def write_demo(folder: Path) -> None:
    """Write the demo logbook's files into ``folder``, making it where needed.

    The same bytes on every run. Files of the same names are overwritten, nothing is removed.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stories, workshop = lives()
    for name in ("gear.csv", "candidates.csv", "tarebook.toml"):
        (folder / name).write_text(file_text(name), encoding="utf-8", newline="\n")
    _write_weighings(folder, workshop)
    trips = [_trip_cells(trip) for trip in TRIPS]
    _write(folder / "trip.csv", tuple(trips[0]), [tuple(trip.values()) for trip in trips])
    for story in stories:
        for table, write in _TRIP_FILES.items():
            write(folder / "trips" / story.trip.trip / f"{table}.csv", story)
    trip, picture = _PICTURED
    (folder / "trips" / trip / picture).write_bytes(picture_bytes(picture))
    text = package_text(describe_logbook(folder))
    (folder / PACKAGE_FILE).write_text(text, encoding="utf-8", newline="\n")
