"""What the form offers: the trips there are, what is owned, the owner's units."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from ...analysis.display import words
from ...analysis.store.opening import open_store
from ...analysis.store.trip_choice import TripChoice
from ...tripdata.contract import MODES
from ...tripdata.errors import QuestionError
from ...tripdata.logbook_entry import Amount, KeptDraft, draft, drafts
from ...tripdata.logbook_entry.telling import TOLD_SEVERITIES
from ...tripdata.names import folded, guess, shown, slug
from ...tripdata.own_files import own_text
from ...tripdata.settings import Settings
from ...tripdata.store import ensure_current, settings_in_use, store_path
from ...tripdata.units import SIGNS
from .cells import Units, in_unit

HOW_MUCH = {"little": "a little", "much": "much", "badly": "badly"}


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing of gear.csv. ``weight_g`` is today's, ``last_g`` what one weighed on its latest trip.

    ``ever_used``, ``never_used``: on the trips of which that is known; both False where on none.
    """

    item: str
    name: str
    system: str
    kit: str | None
    insurance: bool
    carried_as: str
    weight_g: float | None
    retired_on: date | None
    ever_used: bool = False
    never_used: bool = False
    last_g: float | None = None

    @property
    def stays_packed(self) -> bool:
        """Whether it may start out as unused: insurance that no logged trip has used, not worn."""
        return self.insurance and self.never_used and self.carried_as != "worn"

    @property
    def is_food(self) -> bool:
        """Whether it is eaten."""
        return self.carried_as == "consumable" and self.system == "food"


@dataclass(frozen=True, slots=True)
class KnownTrip(TripChoice):
    """A trip of the logbook. ``listed``: it has a list; ``noted``: of how it went, something."""

    listed: bool
    noted: bool
    with_days: bool = False
    with_use: bool = False


@dataclass(frozen=True, slots=True)
class Book:
    """A logbook as it stands: its trips (the latest first) and things, its settings, its drafts.

    ``not_read`` says which rows of trip.csv are no trips; ``comma``: its decimals have a comma.
    """

    folder: Path
    settings: Settings
    trips: tuple[KnownTrip, ...]
    things: Mapping[str, Thing]
    drafts: tuple[KeptDraft, ...]
    not_read: tuple[str, ...] = ()
    comma: bool = False

    @property
    def units(self) -> Units:
        """The owner's units."""
        return Units(self.settings.mass, self.settings.temperature, self.settings.distance)

    def trip(self, name: str) -> KnownTrip | None:
        """The trip of that name, however it is written."""
        key = folded(slug(name))
        return next((trip for trip in self.trips if folded(trip.trip) == key), None)

    def to_open(self, name: str) -> str:
        """The trip, or the draft of one, that is so called. Raises QuestionError for none."""
        names = [trip.trip for trip in self.trips] + [each.trip for each in self.drafts]
        found = next((each for each in names if folded(each) == folded(slug(name))), None)
        if found is None:
            hint = guess(name, names, "begin it in the form")
            raise QuestionError(f"there is no trip {shown(name)}; {hint}")
        return found

    def meant(self, text: str) -> Thing | None:
        """The thing that a text names: by its short name, else by a name that only one has."""
        key = folded(slug(text))
        own = next((thing for thing in self.things.values() if folded(thing.item) == key), None)
        named = [t for t in self.things.values() if folded(t.name.strip()) == folded(text.strip())]
        return own or (named[0] if len(named) == 1 else None)


def read_book(folder: Path) -> Book:
    """What the form needs to know of a logbook; its store is brought up to date for that.

    Raises a TarebookError where there is no logbook or it cannot be loaded.
    """
    ensure_current(folder)
    with open_store(store_path(folder)) as store:
        trips = store.execute(own_text(__package__, "sql", "trips_known.sql")).fetchall()
        things = store.execute(own_text(__package__, "sql", "things_owned.sql")).fetchall()
        aside = store.execute(own_text(__package__, "sql", "trip_rows_not_read.sql")).fetchall()
    return Book(
        folder,
        settings_in_use(folder),
        tuple(KnownTrip(*row) for row in trips),
        {row[0]: Thing(*row) for row in things},
        drafts(folder),
        _not_read(aside),
        _has_comma(folder),
    )


def _not_read(rows: Sequence[tuple[str, int, str, str | None]]) -> tuple[str, ...]:
    """What is said of rows of trip.csv that could not be read, one sentence a row."""
    faults: dict[tuple[str, int], list[str]] = {}
    for file, line, column, _ in rows:
        faults.setdefault((file, line), []).append(column)
    said = []
    for (file, line), columns in faults.items():
        days = set(columns) <= {"start_on", "end_on"}
        why = "a day is missing or cannot be read" if days else f"its {columns[0]} cannot be read"
        said.append(f"A trip of {file} is not offered here: in line {line} {why}.")
    return tuple(said)


def _has_comma(folder: Path) -> bool:
    """Whether gear.csv is a file of semicolons, in which decimals have a comma."""
    try:
        with (folder / "gear.csv").open("rb") as file:
            head = file.read(20_000)
    except OSError:
        return False
    return head.count(b";") > head.count(b",") and b";" in head.splitlines()[0]


def offered(book: Book, today: date, notices: Sequence[str] = ()) -> dict[str, Any]:
    """What the front end is told: trips in the order in which to offer them, things, units."""
    units = book.units
    kept = {folded(each.trip): each for each in book.drafts if not each.fault}
    begun = [_begun(book, each) for each in kept.values() if book.trip(each.trip) is None]
    trips = [_trip(each, kept.get(folded(each.trip)), today) for each in book.trips]
    order = ("draft", "plan over", "empty", "noted", "plan")
    return {
        "trips": sorted([*begun, *trips], key=lambda each: order.index(each["state"])),
        "faults": [
            *notices,
            *book.not_read,
            *(f"The draft of {d.trip} cannot be read: {d.fault}" for d in book.drafts if d.fault),
        ],
        "things": [
            {
                "item": t.item,
                "name": t.name,
                "about": t.kit or words.label(t.system),
                "consumable": t.carried_as == "consumable",
                "food": t.is_food,
                "weighs": weight_text(t, units.mass),
                "last": last_text(t, units.mass),
            }
            for t in book.things.values()
            if t.retired_on is None
        ],
        "models": [
            {"trip": t.trip, "title": t.title, "mode": t.mode or ""}
            for t in book.trips
            if t.listed and not t.plan
        ],
        "modes": [{"value": mode, "label": words.label(mode)} for mode in MODES],
        "severities": [{"value": v, "label": label} for v, label in TOLD_SEVERITIES.items()],
        "how_much": [{"value": v, "label": label} for v, label in HOW_MUCH.items()],
        "units": {
            "mass": units.mass,
            "temperature": SIGNS[units.temperature],
            "distance": units.distance,
            "height": units.height,
            "rain": units.rain,
        },
        "today": today.isoformat(),
    }


def weight_text(thing: Thing, unit: str) -> str:
    """What a thing weighs today, as text in a unit; "" where it was never weighed."""
    if thing.weight_g is None:
        return ""
    return in_unit(Amount(Decimal(f"{thing.weight_g:g}"), "g"), unit)


def last_text(thing: Thing, unit: str) -> str:
    """What one of a thing weighed on its latest trip, as text in a unit; "" where not noted."""
    if thing.last_g is None:
        return ""
    return in_unit(Amount(Decimal(f"{thing.last_g:g}"), "g"), unit)


def _trip(trip: KnownTrip, kept: KeptDraft | None, today: date) -> dict[str, Any]:
    over = trip.end_on <= today
    if kept is not None:
        state, about = "draft", _kept(kept)
    elif trip.plan:
        state, about = (
            ("plan over", "a plan until now") if over else ("plan", "a plan, not over yet")
        )
    elif trip.noted:
        state, about = "noted", _written(trip)
    else:
        state, about = "empty", "nothing is written yet"
    when = words.days(trip.start_on, trip.end_on)
    return {"trip": trip.trip, "title": trip.title, "when": when, "state": state, "about": about}


def _written(trip: KnownTrip) -> str:
    if trip.with_days and trip.with_use:
        return "days, nights and use are written"
    if trip.with_days:
        return "days and nights are written, use is not"
    if trip.with_use:
        return "use is written, days and nights are not"
    return "something is written already"


def _begun(book: Book, kept: KeptDraft) -> dict[str, Any]:
    """A draft of a trip that is not in the logbook yet, by the title and days typed there."""
    typed = (draft(book.folder, kept.trip) or {}).get("typed", {})
    title, when = str(typed.get("title") or kept.trip), ""
    with suppress(KeyError, TypeError, ValueError):
        start, end = (date.fromisoformat(typed[at]) for at in ("start_on", "end_on"))
        when = words.days(start, end)
    about = _kept(kept)
    return {"trip": kept.trip, "title": title, "when": when, "state": "draft", "about": about}


def _kept(kept: KeptDraft) -> str:
    at = datetime.fromtimestamp(kept.kept_at).astimezone()
    return f"begun, last changed {words.day(at.date(), year=False)} at {at:%H:%M}"
