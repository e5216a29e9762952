"""What a person says of a trip on the evening after it, in the units in which they said it."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Literal


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity as it was typed; ``unit`` is a suffix that a header may carry, such as g or oz."""

    value: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Along:
    """A row of what came along; its key is item, carried_as, bag and from_day.

    None stands for a blank cell, here and below. ``used`` is yes, no, a number
    of times or, None, not said: where used.csv names the item, how often it says so. ``origin``,
    here and below, is the row of a file that was read, kept by whoever changes it; "" is a new row.
    """

    item: str
    used: bool | int | None = None
    quantity: int | None = None
    weight: Amount | None = None
    carried_as: str | None = None
    carried_by: str | None = None
    bag: str | None = None
    from_day: date | None = None
    until_day: date | None = None
    brought_home: Amount | None = None
    note: str | None = None
    origin: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Leg:
    """How far one went on a day by one mode; a blank mode is the trip's."""

    mode: str = ""
    distance: Amount | None = None
    ascent: Amount | None = None
    hours: Decimal | None = None
    battery_wh: Decimal | None = None
    origin: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Score:
    """How one side of a day felt; without a score it is not said."""

    aspect: str
    score: int | None = None
    warmth: int | None = None
    note: str | None = None
    origin: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the trip. ``conditions``: words separated by ;, `none` for none, None: not said."""

    day: date
    legs: tuple[Leg, ...] = ()
    low: Amount | None = None
    high: Amount | None = None
    rain: Amount | None = None
    wet: bool | None = None
    wind: Amount | None = None
    conditions: str | None = None
    scores: tuple[Score, ...] = ()


@dataclass(frozen=True, slots=True)
class Failure:
    """Something that broke."""

    item: str
    day: date | None = None
    severity: str = "nuisance"
    what: str | None = None
    fixed_with: str | None = None
    fixed_on: date | None = None
    origin: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Wish:
    """Something that was missed: an item left at home, or anything else."""

    item: str | None = None
    what: str | None = None
    system: str | None = None
    how_much: str | None = None
    note: str | None = None
    origin: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Dropped:
    """A file that was put on the form: its name there and its bytes."""

    name: str
    content: bytes
    kind: Literal["track", "thermometer"]


@dataclass(frozen=True, slots=True)
class TripEntry:
    """All that is said of a trip.

    ``list_of`` is the trip whose list it begins with, "" for all that is owned, None for its own;
    ``not_shown`` names the rows of the trip that could not be read, a line each.

    ``seen`` is a file and a digest of the trip's rows in it, as written and as read, for each file
    that was read for this entry. It is kept as it is by whoever changes the entry: only rows that
    were shown are removed or changed.
    """

    trip: str
    start_on: date | None = None
    end_on: date | None = None
    title: str | None = None
    mode: str | None = None
    people: int | None = None
    place: str | None = None
    latitude: Decimal | None = None
    longitude: Decimal | None = None
    elevation: Amount | None = None
    use_record: str | None = None
    plan: bool = False
    note: str | None = None
    along: tuple[Along, ...] = ()
    days: tuple[Day, ...] = ()
    failures: tuple[Failure, ...] = ()
    wishes: tuple[Wish, ...] = ()
    dropped: tuple[Dropped, ...] = ()
    seen: tuple[tuple[str, str], ...] = ()
    list_of: str | None = field(default=None, compare=False)
    not_shown: tuple[str, ...] = field(default=(), compare=False)


@dataclass(frozen=True, slots=True)
class FileChange:
    """One file that would be written: ``path`` inside the logbook, how many rows, what for people.

    ``before`` and ``after`` are its bytes, ``before`` empty where there was none.
    """

    path: str
    existed: bool
    added: int
    changed: int
    removed: int
    lines: tuple[str, ...]
    before: bytes
    after: bytes


@dataclass(frozen=True, slots=True)
class Writing:
    """What would be written, and why it cannot be: where there are ``problems`` nothing is.

    ``remarks`` is what `check` would ask about but read. ``paste`` are lines for `tarebook.toml`
    that a thermometer's file needs. ``inputs`` is what the logbook looked like.
    """

    trip: str
    changes: tuple[FileChange, ...] = ()
    problems: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    paste: str = ""
    inputs: str = ""


@dataclass(frozen=True, slots=True)
class Filled:
    """An entry with what dropped files say filled in, and what is to be said of them."""

    entry: TripEntry
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KeptDraft:
    """A form that was closed: its trip, when (seconds since 1970), why it cannot be read, if so."""

    trip: str
    kept_at: float
    fault: str = ""
