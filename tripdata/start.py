"""Starting a logbook and starting a trip: new files only, what exists is never touched."""

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from .contract import BY_NAME
from .errors import LogbookError, QuestionError
from .guide import blank_header, blank_settings, html_page
from .names import nearest, shown, slug, slug_fault
from .settings import SETTINGS_FILE, Settings, read_settings
from .store import reading, store_path
from .units import OZ_G

DAY_FILES = ("distances", "weather", "comfort")
OTHER_FILES = ("used", "failures", "temperatures", "wished")
GUIDE = "columns.html"


@dataclass(slots=True)
class Started:
    """What was made, what stood there already, and what is left to do, in words."""

    made: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    advice: list[str] = field(default_factory=list)


def _write(folder: Path, name: str, text: str, started: Started) -> None:
    """Make a file; one that exists is left as it is."""
    path = folder / name
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="") as out:
            out.write(text)
        started.made.append(name)
    except FileExistsError:
        started.kept.append(name)
    except OSError as error:
        raise LogbookError(f"{path}: cannot be made ({error.strerror})") from error


def inert(cell: str) -> str:
    """Text that a spreadsheet shows rather than runs: a leading = + - @ gets an apostrophe."""
    return "'" + cell if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell


def _csv(header: list[str], rows: Iterable[list[str]] = ()) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows([[inert(c) for c in row] for row in rows])
    return out.getvalue()


def _units(settings: Settings) -> dict[str, str]:
    imperial = settings.distance == "mi"
    return {
        "mass": settings.mass,
        "temperature": settings.temperature,
        "length": settings.distance,
        "height": "ft" if imperial else "m",
        "rain": "in" if imperial else "mm",
        "speed": "mph" if imperial else "kmh",
    }


def new_logbook(folder: Path) -> Started:
    """Make an empty logbook: blank files, settings and a page that explains each column.

    Raises LogbookError where the folder or a file cannot be made.
    """
    started = Started()
    if folder.exists() and not folder.is_dir():
        raise LogbookError(f"{folder}: is a file; name a folder for the logbook")
    units = _units(read_settings(folder))
    for table in ("gear", "weighings", "candidates", "trip"):
        _write(folder, f"{table}.csv", _csv(blank_header(BY_NAME[table], units)), started)
    _write(folder, SETTINGS_FILE, blank_settings(), started)
    _write(folder, GUIDE, html_page(), started)
    if "gear.csv" in started.made:
        started.advice.append(
            f"fill gear.csv, a row an item, and trip.csv; {GUIDE} explains each column"
        )
    return started


@dataclass(frozen=True, slots=True)
class _Trip:
    trip: str
    start_on: date
    end_on: date
    mode: str | None


def new_trip(logbook: Path, trip: str, like: str | None = None) -> Started:
    """Make a trip's folder, filled from another trip (default the latest of the same mode).

    ``logbook`` must have a current store. Raises QuestionError for a name that cannot be a folder
    or a ``like`` that is no trip, LogbookError where a file cannot be made.
    """
    name = slug(trip)
    if slug_fault(name):
        raise QuestionError(f"{shown(trip)}: {slug_fault(name)}")
    settings = read_settings(logbook)
    with reading(store_path(logbook)) as connection:
        query = "SELECT trip, start_on, end_on, mode, plan FROM trip ORDER BY start_on, trip"
        rows = connection.execute(query).fetchall()
        trips = [_Trip(*row[:4]) for row in rows]
        plans = {row[0] for row in rows if row[4]}
        own = next((t for t in trips if t.trip.casefold() == name.casefold()), None)
        broken = connection.execute(_BROKEN, {"trip": name}).fetchall()
        if own is None and broken:
            raise QuestionError(
                f"{broken[0][0]}:{broken[0][1]} has {shown(name)}, but with a mistake; mend that "
                "first, `tarebook check` says how"
            )
        lost = connection.execute(_LOST_GEAR).fetchall()[0][0]
        model = _model(trips, plans, own, name, like)
        day = own.start_on if own else date.max
        items = _carried_of(connection, model, day) if model else _all_gear(connection, day)
        retired = _retired_of(connection, model, day) if model else []
    near = "" if own else nearest(name, [t.trip for t in trips])
    started = _write_trip(logbook, own.trip if own else name, own, model, items, retired, settings)
    if near:
        started.advice.append(f'if you meant "{near}": this is a new trip, delete its folder')
    if lost:
        many = "1 row" if lost == 1 else f"{lost} rows"
        started.advice.append(
            f"{many} of gear.csv could not be read and may be missing from carried.csv: "
            "`tarebook check` says why"
        )
    return started


def _model(
    trips: list[_Trip], plans: set[str], own: _Trip | None, name: str, like: str | None
) -> _Trip | None:
    others = [t for t in trips if t.trip.casefold() != name.casefold()]
    if like is not None:
        found = next((t for t in others if t.trip.casefold() == slug(like).casefold()), None)
        if found is None:
            near = nearest(like, [t.trip for t in others])
            hint = f'; did you mean "{near}"?' if near else ""
            raise QuestionError(f"there is no trip {shown(like)} to start from{hint}")
        return found
    past = [t for t in others if t.trip not in plans]
    same = [t for t in past if own is None or own.mode is None or t.mode == own.mode]
    return same[-1] if same else None


_CARRIED = """
SELECT c.item, c.quantity, c.weight_mg, c.carried_as, c.carried_by, c.bag
FROM carried AS c JOIN gear AS g ON g.item = c.item
WHERE c.trip = $trip AND (g.retired_on IS NULL OR g.retired_on > $day)
  AND (c.from_day IS NULL OR c.from_day <= (SELECT start_on FROM trip WHERE trip = $trip))
ORDER BY c.rowid
"""
_BROKEN = """
SELECT "file", line FROM set_aside
WHERE lower(trip) = lower($trip) AND regexp_matches("file", '(^|/)trip(-[^/]*)?\\.[^./]*$')
ORDER BY "file", line
"""
_LOST_GEAR = """
SELECT count(DISTINCT ("file", line)) FROM set_aside
WHERE regexp_matches("file", '^gear(-[^/]*)?\\.[^./]*$')
"""
_ALL_GEAR = """
SELECT item, 1, NULL, NULL, NULL, NULL FROM gear
WHERE retired_on IS NULL OR retired_on > $day ORDER BY rowid
"""
_RETIRED = """
SELECT DISTINCT c.item FROM carried AS c JOIN gear AS g ON g.item = c.item
WHERE c.trip = $trip AND g.retired_on <= $day ORDER BY c.item
"""


def _carried_of(connection: Any, model: _Trip, day: date) -> list[tuple[Any, ...]]:
    rows = connection.execute(_CARRIED, {"trip": model.trip, "day": day}).fetchall()
    return list(rows)


def _all_gear(connection: Any, day: date) -> list[tuple[Any, ...]]:
    rows = connection.execute(_ALL_GEAR, {"day": day}).fetchall()
    return list(rows)


def _retired_of(connection: Any, model: _Trip, day: date) -> list[str]:
    rows = connection.execute(_RETIRED, {"trip": model.trip, "day": day}).fetchall()
    return [row[0] for row in rows]


def _write_trip(
    logbook: Path,
    name: str,
    own: _Trip | None,
    model: _Trip | None,
    items: list[tuple[Any, ...]],
    retired: list[str],
    settings: Settings,
) -> Started:
    started, units = Started(), _units(settings)
    at = f"trips/{name}/"
    if own is None:
        header = blank_header(BY_NAME["trip"], units)
        row = [name] + [""] * (len(header) - 1)
        if model and model.mode:
            row[header.index("mode")] = model.mode
        _write(logbook, at + "trip.csv", _csv(header, [row]), started)
        started.advice.append(
            f"fill in start_on and end_on in {at}trip.csv, then give the same command again: "
            "it adds a row for each day"
        )
    header = [c for c in blank_header(BY_NAME["carried"], units) if c != "trip"]
    rows = [_carried_row(item, header, units["mass"]) for item in items]
    _write(logbook, at + "carried.csv", _csv(header, rows), started)
    if own is not None:
        days = [
            own.start_on + timedelta(days=n) for n in range((own.end_on - own.start_on).days + 1)
        ]
        for table in DAY_FILES:
            _write(logbook, at + f"{table}.csv", _day_rows(table, days, own, units), started)
        for table in OTHER_FILES:
            columns = [c for c in blank_header(BY_NAME[table], units) if c != "trip"]
            _write(logbook, at + f"{table}.csv", _csv(columns), started)
    if rows and at + "carried.csv" in started.made:
        all_of_it = f"what gear.csv holds, {len(rows)} item{'s' if len(rows) != 1 else ''}"
        source = f"the {len(rows)} rows of {model.trip}" if model else all_of_it
        started.advice.append(
            f"carried.csv holds {source}: delete what stays at home, add what is new"
        )
    if retired:
        started.advice.append("left out, since retired: " + ", ".join(retired))
    return started


def _carried_row(row: tuple[Any, ...], header: list[str], mass: str) -> list[str]:
    item, quantity, weight_mg, carried_as, carried_by, bag = row
    weight = ""
    if weight_mg is not None:
        grams = weight_mg / 1000
        weight = f"{grams / OZ_G:.3f}" if mass == "oz" else f"{grams:.3f}"
        weight = weight.rstrip("0").rstrip(".")
    cells = {
        "item": item,
        "quantity": str(quantity),
        f"weight_{mass}": weight,
        "carried_as": carried_as or "",
        "carried_by": carried_by or "",
        "bag": bag or "",
    }
    return [cells.get(column, "") for column in header]


def _day_rows(table: str, days: list[date], own: _Trip, units: dict[str, str]) -> str:
    header = [c for c in blank_header(BY_NAME[table], units) if c != "trip"]
    nights = days[:-1] if len(days) > 1 else days
    rows = []
    for day in nights if table == "comfort" else days:
        cells = {"day": day.isoformat()}
        if table == "comfort":
            cells["aspect"] = "sleep" if len(days) > 1 else "moving"
        if table == "distances" and own.mode:
            cells["mode"] = own.mode
        rows.append([cells.get(column, "") for column in header])
    return _csv(header, rows)
