"""Writes the demo logbook as the CSV files that its owner would keep."""

import csv
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from pathlib import Path

from .gear import CANDIDATES, COLUMNS, CURRENCY, WEIGHINGS, cells, extras, inventory
from .life import Story, lives
from .mishaps import Workshop
from .trips import TRIPS, Trip

SETTINGS = """\
# Everything here is optional; without this file the defaults stand.

[display]
mass = "g"
temperature = "c"
distance = "km"

[person]
body_kg = 71
bike_kg = 10.9

[goals]
base_weight_g = 6000

[regret]
light = 4
rain = 4
power = 2

# How the old thermometer writes its files, so that they can be dropped in as they are.
[logger]
time = "Clock"
temperature = "Celsius"
unit = "c"
format = "%m/%d/%Y %H:%M"
"""

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


def _write_gear(folder: Path) -> None:
    header = list(COLUMNS)
    at = header.index("price") + 1
    header.insert(at, "currency")
    rows = []
    for item in inventory().values():
        row: list[Cell] = [getattr(item, name) for name in COLUMNS]
        row.insert(at, CURRENCY if item.price else "")
        rows.append(row)
    _write(folder / "gear.csv", header, rows)


def _write_weighings(folder: Path, workshop: Workshop) -> None:
    rows = [[item, day, weight, note] for item, day, weight, note in cells(WEIGHINGS)]
    rows += [
        ["sleeping-mat", day.isoformat(), f"{grams:g}", "After patching"]
        for day, grams in workshop.patched_mat()
    ]
    rows.sort(key=lambda row: row[1])
    _write(folder / "weighings.csv", ("item", "weighed_on", "weight_g", "note"), rows)


def _write_candidates(folder: Path) -> None:
    header = (
        "candidate",
        "name",
        "system",
        "weight_g",
        "price",
        "currency",
        "replaces",
        "rated_low_c",
        "rated_as",
        "capacity_wh",
        "expected_nights",
        "note",
    )
    rows = []
    for candidate, name, system, grams, rest in cells(CANDIDATES):
        more = {"currency": CURRENCY, **extras(rest)}
        rows.append([candidate, name, system, grams, *(more.get(key, "") for key in header[4:])])
    _write(folder / "candidates.csv", header, rows)


def _record(trip: Trip) -> str:
    """The use record as told: left blank in the first year, when it was not known to matter."""
    quiet = trip.plan or (trip.start_on.year == 2023 and trip.use_record == "full")
    return "" if quiet else trip.use_record


def _write_trips(folder: Path) -> None:
    header = (
        "trip",
        "title",
        "start_on",
        "end_on",
        "mode",
        "place",
        "latitude",
        "longitude",
        "elevation_m",
        "use_record",
        "plan",
        "note",
    )
    rows: list[Sequence[Cell]] = [
        (
            t.trip,
            t.title,
            t.start_on,
            t.end_on,
            t.mode,
            t.place.name,
            t.place.latitude,
            t.place.longitude,
            t.place.elevation_m,
            _record(t),
            "yes" if t.plan else "",
            t.note,
        )
        for t in TRIPS
    ]
    _write(folder / "trip.csv", header, rows)


def _carried(path: Path, story: Story) -> None:
    header = (
        "item",
        "quantity",
        "weight_g",
        "carried_as",
        "carried_by",
        "bag",
        "from_day",
        "until_day",
        "used",
        "brought_home_g",
        "note",
    )
    told = {use.item for use in story.uses}
    rows = [
        (
            r.item,
            "" if r.quantity == 1 else r.quantity,
            r.weight_g,
            r.carried_as,
            r.carried_by,
            r.bag,
            r.from_day,
            r.until_day,
            "" if r.item in told else r.used,
            r.brought_home_g,
            r.note,
        )
        for r in story.rows
    ]
    _write(path, header, rows)


def _used(path: Path, story: Story) -> None:
    rows = [(u.item, u.day, u.times, u.used_for, u.note) for u in story.uses]
    _write(path, ("item", "day", "times", "used_for", "note"), rows)


def _failures(path: Path, story: Story) -> None:
    header = ("item", "day", "severity", "what", "fixed_with", "fixed_on")
    rows = [
        (f.item, f.day, f.severity.replace("_", " "), f.what, f.fixed_with, f.fixed_on)
        for f in story.failures
    ]
    _write(path, header, rows)


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
    """A file as the old thermometer wrote it, dropped in unchanged; see [logger] in SETTINGS."""
    rows = [
        (number, at.strftime("%m/%d/%Y %H:%M"), f"{value_c:.1f}")
        for number, (at, value_c) in enumerate(readings, start=1)
    ]
    _write(path, ("No.", "Clock", "Celsius"), rows)


def _distances(path: Path, story: Story) -> None:
    header = ["day", "mode", "distance_km", "ascent_m", "hours", "battery_wh"]
    rows = [
        [leg.day, leg.mode, leg.distance_km, leg.ascent_m, leg.hours, leg.battery_wh]
        for leg in story.legs
    ]
    _write(path, header, rows)


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


def _comfort(path: Path, story: Story) -> None:
    rows = [(v.day, v.aspect, v.score, v.warmth, v.note) for v in story.votes]
    _write(path, ("day", "aspect", "score", "warmth", "note"), rows)


def _wished(path: Path, story: Story) -> None:
    rows = []
    for wish in story.trip.wished:
        wanted, system, how_much = (part.strip() for part in wish.split("|"))
        owned = wanted in inventory()
        rows.append(("" if owned else wanted, wanted if owned else "", system, how_much))
    _write(path, ("what", "item", "system", "how_much"), rows)


TABLES: dict[str, Callable[[Path, Story], None]] = {
    "carried": _carried,
    "used": _used,
    "failures": _failures,
    "temperatures": _temperatures,
    "distances": _distances,
    "weather": _weather,
    "comfort": _comfort,
    "wished": _wished,
}


def write_demo(folder: Path) -> None:
    """Write the demo logbook's files into ``folder``, making it where needed.

    The same bytes on every run. Files of the same names are overwritten, nothing is removed.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stories, workshop = lives()
    _write_gear(folder)
    _write_weighings(folder, workshop)
    _write_candidates(folder)
    _write_trips(folder)
    (folder / "tarebook.toml").write_text(SETTINGS, encoding="utf-8", newline="\n")
    for story in stories:
        for table, write in TABLES.items():
            write(folder / "trips" / story.trip.trip / f"{table}.csv", story)
