"""Starting a logbook and starting a trip: new files only, what exists is never touched."""

import csv
import io
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from .contract import BY_NAME
from .data_package import draw_package
from .errors import LogbookError, QuestionError
from .guide import blank_header, blank_settings, html_page
from .leftovers import put_new, sweep_halves
from .moments import strptime_form
from .names import folded, guess, inert, nearest, shown, slug, slug_fault
from .own_files import own_sql
from .settings import SETTINGS_FILE, Settings, read_settings, settings_in
from .store import open_for_reading, settings_in_use, store_path
from .succession import GearThen, with_successors
from .table_schema import PACKAGE_FILE
from .units import OZ_G

DAY_FILES = ("distances", "weather", "comfort")
OTHER_FILES = ("used", "failures", "temperatures", "wished")
GUIDE = "columns.html"
_DERIVED = "# Made by tarebook from the other files.\n.tarebook/\nreports/\n"


@dataclass(slots=True)
class Started:
    """What was made, what stood there already, what is left to do and what to know, in words."""

    made: list[str] = field(default_factory=list)
    existing: list[str] = field(default_factory=list)
    advice: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def _write(folder: Path, name: str, text: str, started: Started) -> None:
    """Make a file, whole or not at all; one that exists is left as it is."""
    path = folder / name
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        sweep_halves(path.parent)
        made = put_new(path, text.encode("utf-8"))
        (started.made if made else started.existing).append(name)
    except OSError as error:
        raise LogbookError(f"{path}: cannot be made ({error.strerror})") from error


def header_of_new(table: str, settings: Settings) -> list[str]:
    """The header of a new file; one that stands in a trip's folder has no trip column."""
    per_trip = BY_NAME[table].per_trip
    header = blank_header(BY_NAME[table], _units(settings))
    return [c for c in header if not (per_trip and c == "trip")]


def _file(table: str, settings: Settings, rows: Iterable[Mapping[str, str]] = ()) -> str:
    """The text of a new file."""
    header = header_of_new(table, settings)
    out = io.StringIO()
    writer = csv.DictWriter(out, header, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows([{c: inert(text) for c, text in row.items()} for row in rows])
    return out.getvalue()


def _describe(folder: Path, started: Started | None = None) -> None:
    """Draw the description of the files for other tools; one that a person changed is left."""
    path = folder / PACKAGE_FILE
    there = os.path.lexists(path)
    try:
        drawn = draw_package(folder)
    except OSError as error:
        raise LogbookError(f"{path}: cannot be made ({error.strerror})") from error
    if started is not None and not (there and drawn):
        (started.existing if there else started.made).append(PACKAGE_FILE)


def ignore_derived(folder: Path, started: Started) -> None:
    """Tell a version control what is derived and need not be kept; a file that exists stands."""
    _write(folder, ".gitignore", _DERIVED, started)


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


def _opened(folder: Path) -> Settings:
    """The settings, whose units new files come in. Raises LogbookError where they stay closed."""
    settings = read_settings(folder)
    if settings.unopened:
        raise LogbookError(
            f"{folder / SETTINGS_FILE}: could not be opened, so nobody knows in which units to "
            "make new files; make it readable, then give the same command again"
        )
    return settings


def new_logbook(folder: Path, us: bool = False, dates: str = "") -> Started:
    """Make an empty logbook: blank files, settings and a page that explains each column.

    With ``us`` files and settings come in ounces, °F, miles and feet; ``dates`` is the form that
    the settings declare beside the one with the year first. Settings that are there already stand.

    Raises LogbookError where the folder or a file cannot be made, or settings that are there
    cannot be opened.
    """
    started = Started()
    if folder.exists() and not folder.is_dir():
        raise LogbookError(f"{folder}: is a file; name a folder for the logbook")
    blank = blank_settings(us, dates)
    _write(folder, SETTINGS_FILE, blank, started)
    made = SETTINGS_FILE in started.made
    settings = settings_in(blank.encode("utf-8")) if made else _opened(folder)
    for table in ("gear", "weighings", "candidates", "trip"):
        _write(folder, f"{table}.csv", _file(table, settings), started)
    _write(folder, GUIDE, html_page(), started)
    _describe(folder, started)
    ignore_derived(folder, started)
    if "gear.csv" in started.made:
        started.advice.append(
            f"fill in gear.csv, one row per thing, and trip.csv; {GUIDE} explains each column"
        )
    return started


@dataclass(frozen=True, slots=True)
class _Trip:
    trip: str
    start_on: date
    end_on: date
    mode: str | None
    plan: bool
    listed: bool


@dataclass(frozen=True, slots=True)
class LaidOut:
    """What a trip starts from: its own row (None: new), the trip it is like, rows of its list.

    A row is item, quantity, weight in mg (None: gear's), carried_as, carried_by, bag. ``instead``
    is what was put in, by item that was given up. ``near`` is a trip of almost that name.
    ``weighed_then``: food or fuel has the weight it had on the other trip.
    """

    name: str
    own: _Trip | None
    model: _Trip | None
    items: list[tuple[Any, ...]]
    instead: dict[str, list[str]]
    gear_rows_lost: int
    near: str
    weighed_then: bool = False


def lay_out(
    logbook: Path,
    trip: str,
    like: str | None = None,
    mode: str | None = None,
    begun: bool = False,
) -> LaidOut:
    """What a trip starts from: what came along on another trip.

    By default the latest of the same mode that took place and has carried rows. What was given up
    since is left out, and what took over from it put in. ``mode`` is that of a new trip, if known.
    ``begun``: whoever asks looks at a row of the trip that has a mistake.

    ``logbook`` must have a current store. Raises QuestionError for a name that cannot be a folder,
    for a trip whose row has a mistake, or a ``like`` that is no trip.
    """
    name = slug(trip)
    if slug_fault(name):
        raise QuestionError(f"{shown(trip)}: {slug_fault(name)}")
    with open_for_reading(store_path(logbook)) as connection:
        trips = [_Trip(*row) for row in connection.execute(own_sql("trips_to_copy")).fetchall()]
        own = next((t for t in trips if folded(t.trip) == folded(name)), None)
        broken = connection.execute(own_sql("trip_rows_set_aside"), {"trip": name}).fetchall()
        if own is None and broken and not begun:
            raise QuestionError(
                f"{broken[0][0]}:{broken[0][1]} has {shown(name)}, but with a mistake; mend that "
                "first, `tarebook check` says how"
            )
        lost = connection.execute(own_sql("gear_rows_set_aside")).fetchall()[0][0]
        model = _model(trips, name, like, own.mode if own else mode)
        day = {"day": own.start_on if own else date.max}
        items = connection.execute(own_sql("gear_owned"), day).fetchall()
        instead: dict[str, list[str]] = {}
        if model:
            rows = connection.execute(own_sql("carried_at_start"), {"trip": model.trip}).fetchall()
            gear = connection.execute(own_sql("gear_then"), day).fetchall()
            items, instead = with_successors(rows, [GearThen(*row) for row in gear])
        kits = dict(connection.execute(own_sql("kits")).fetchall())
        used_up = {item for (item,) in connection.execute(own_sql("used_up")).fetchall()}
    near = "" if own else nearest(name, [t.trip for t in trips])
    name = own.trip if own else name
    then = any(
        row[2] is not None and (row[3] == "consumable" or (row[3] is None and row[0] in used_up))
        for row in items
    )
    return LaidOut(name, own, model, _by_kit(items, kits), instead, lost, near, then)


def new_trip(logbook: Path, trip: str, like: str | None = None) -> Started:
    """Make a trip's folder, filled from another trip, as `lay_out` finds it.

    Where the trip has carried rows itself, as a plan that is laid out already, those are its list.

    ``logbook`` must have a current store. Raises QuestionError for a name that cannot be a folder
    or a ``like`` that is no trip, LogbookError where a file cannot be made, or the settings cannot
    be opened.
    """
    laid = lay_out(logbook, trip, like)
    _opened(logbook)
    settings = settings_in_use(logbook)
    started = _write_trip(logbook, laid.name, laid.own, laid.model, laid.items, settings)
    if (logbook / PACKAGE_FILE).is_file():
        _describe(logbook)
    if f"trips/{laid.name}/carried.csv" in started.made:
        _tell_succession(laid.instead, started)
        _tell_what_to_note(laid, started)
    if laid.near:
        started.advice.append(f'if you meant "{laid.near}": this is a new trip, delete its folder')
    if lost := laid.gear_rows_lost:
        many = "1 row" if lost == 1 else f"{lost} rows"
        started.advice.append(
            f"{many} of gear.csv could not be read and may be missing from carried.csv: "
            "`tarebook check` says why"
        )
    return started


def _by_kit(items: list[tuple[Any, ...]], kits: dict[str, str]) -> list[tuple[Any, ...]]:
    """The rows with the things of a kit together, where the first of them stands."""
    places: dict[str, int] = {}
    for place, (item, *_) in enumerate(items):
        places.setdefault(kits.get(item, f"\0{place}"), place)
    order = [places[kits.get(item, f"\0{place}")] for place, (item, *_) in enumerate(items)]
    return [items[place] for place in sorted(range(len(items)), key=order.__getitem__)]


def _model(trips: list[_Trip], name: str, like: str | None, mode: str | None) -> _Trip | None:
    """The trip to start from: the one asked for, else the latest past one of the same mode."""
    others = [t for t in trips if folded(t.trip) != folded(name)]
    if like is not None:
        model = next((t for t in others if folded(t.trip) == folded(slug(like))), None)
        if model is None:
            hint = guess(like, [t.trip for t in others])
            problem = f"there is no trip {shown(like)} to start from"
            raise QuestionError(f"{problem}{hint and '; '}{hint}")
        return model
    past = [t for t in others if t.listed and not t.plan]
    same = [t for t in past if mode is None or t.mode == mode]
    return same[-1] if same else None


def _write_trip(
    logbook: Path,
    name: str,
    own: _Trip | None,
    model: _Trip | None,
    items: list[tuple[Any, ...]],
    settings: Settings,
) -> Started:
    started = Started()
    at = f"trips/{name}/"
    if own is None:
        row = {"trip": name, "mode": (model and model.mode) or ""}
        _write(logbook, at + "trip.csv", _file("trip", settings, [row]), started)
        started.advice.append(
            f"fill in start_on and end_on in {at}trip.csv, then give the same command again: "
            "it adds a row for each day"
        )
    rows = [_carried_cells(item, settings.mass) for item in items]
    if own is not None and own.listed and not (logbook / at / "carried.csv").exists():
        started.existing.append(f"the list of {name}, which is outside of {at}")
    else:
        _write(logbook, at + "carried.csv", _file("carried", settings, rows), started)
    if own is not None:
        for table in DAY_FILES:
            _write(
                logbook,
                at + f"{table}.csv",
                _file(table, settings, _days(table, own, settings)),
                started,
            )
        for table in OTHER_FILES:
            _write(logbook, at + f"{table}.csv", _file(table, settings), started)
    if rows and at + "carried.csv" in started.made:
        stays = "stays" if own is None or own.plan else "stayed"
        all_of_it = f"what gear.csv holds, {len(rows)} item{'s' if len(rows) != 1 else ''}"
        source = f"the {len(rows)} rows of {model.trip}" if model else all_of_it
        started.advice.append(
            f"carried.csv holds {source}: delete what {stays} at home, add what is new"
        )
    return started


def _tell_succession(instead: Mapping[str, list[str]], started: Started) -> None:
    """Say what was given up since the trip that is copied, and what was put in for it."""
    for item, heirs in sorted(instead.items()):
        if heirs:
            started.remarks.append(f"{item} is given up: {', '.join(heirs)} in its place")
    if alone := [item for item, heirs in sorted(instead.items()) if not heirs]:
        started.advice.append(f"left out, since given up: {', '.join(alone)}")


def _tell_what_to_note(laid: LaidOut, started: Started) -> None:
    """Say what of the copied list is another trip's, and how little is to be said of use."""
    if laid.weighed_then and laid.model:
        started.advice.append(f"the food has the weights of {laid.model.trip}: weigh it again")
    if laid.items and not (laid.own and laid.own.plan):
        started.advice.append(
            "once you have gone through the list, write use_record = all_but in trip.csv, and no "
            "in the column used for what stayed packed"
        )


def _carried_cells(row: tuple[Any, ...], mass: str) -> dict[str, str]:
    """The cells of one row of carried.csv, from a row of `carried_at_start` or `gear_owned`."""
    item, quantity, weight_mg, carried_as, carried_by, bag = row
    weight = "" if weight_mg is None else mass_text(weight_mg, mass)
    return {
        "item": item,
        "quantity": str(quantity),
        f"weight_{mass}": weight,
        "carried_as": carried_as or "",
        "carried_by": carried_by or "",
        "bag": bag or "",
    }


def mass_text(weight_mg: int, mass: str) -> str:
    """A weight in g or oz, with no more digits than tell milligrams apart."""
    grams = weight_mg / 1000
    return f"{grams / OZ_G if mass == 'oz' else grams:.3f}".rstrip("0").rstrip(".")


def _days(table: str, own: _Trip, settings: Settings) -> list[dict[str, str]]:
    """The cells of a row for each day of the trip; of comfort for each night, if there is any."""
    nights = (own.end_on - own.start_on).days
    cells: dict[str, str] = {}
    if table == "comfort":
        cells["aspect"] = "sleep" if nights else "moving"
    if table == "distances":
        cells["mode"] = own.mode or ""
    count = max(nights, 1) if table == "comfort" else nights + 1
    days = (own.start_on + timedelta(days=n) for n in range(count))
    form = strptime_form(settings.dates) if settings.dates else "%Y-%m-%d"
    return [{"day": day.strftime(form), **cells} for day in days]
