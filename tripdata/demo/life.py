"""What happened on each of the demo's trips, drawn from the written-down truth.

Order matters where one thing hangs on another: weather and nights first, then what was used, then
what broke (and was mended with what was at hand), then how it all felt.
"""

from dataclasses import dataclass, field
from datetime import date

from . import truth
from .consumption import battery_wh, note_leftovers
from .dice import Dice
from .feeling import Feeling, Vote
from .gear import inventory
from .mishaps import SURE_TOOLS, DrawnFailure, Workshop
from .packing import CarriedRow, pack
from .sky import DrawnDay, Night, days_of, nights_of
from .tables import table_rows
from .trips import TRIPS, Trip

GOES_WITH = {"coffee": "coffee-dripper"}
"""Used on the trips on which the other was."""


@dataclass(frozen=True, slots=True)
class Use:
    """One row of used.csv."""

    item: str
    day: date | None
    times: int
    used_for: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class DrawnLeg:
    """One row of distances.csv."""

    day: date
    mode: str
    distance_km: float
    ascent_m: int
    hours: float | None
    battery_wh: int | None


@dataclass(slots=True)
class Story:
    """Everything noted about one trip."""

    trip: Trip
    rows: list[CarriedRow]
    days: list[DrawnDay] = field(default_factory=list)
    nights: list[Night] = field(default_factory=list)
    used: set[str] = field(default_factory=set)
    uses: list[Use] = field(default_factory=list)
    failures: list[DrawnFailure] = field(default_factory=list)
    votes: list[Vote] = field(default_factory=list)
    legs: list[DrawnLeg] = field(default_factory=list)


def had_chance(story: Story, item: str) -> bool:
    """Whether a condition that the item is meant for came about while it was along."""
    gear = inventory()[item]
    if not gear.meant:
        return True
    rows = [row for row in story.rows if row.item == item]
    days = [d for d in story.days if any(row.along(d.day) for row in rows)]
    nights = [n for n in story.nights if any(row.along(n.day) for row in rows)]
    for word in gear.meant:
        if word == "wet" and any(d.wet for d in days):
            return True
        if word == "cold" and any(n.low_c < gear.cold_below_c for n in nights):
            return True
        if any(word in d.conditions for d in days):
            return True
    return False


def _draw_uses(story: Story) -> set[str]:
    used = set()
    for row in story.rows:
        item = GOES_WITH.get(row.item, row.item)
        if item in SURE_TOOLS:
            continue
        rate = truth.TRUE_USE_RATE[item]
        if not had_chance(story, item):
            rate = truth.OFF_USE_RATE.get(item, 0.0)
        if Dice(story.trip.trip, "used", item).chance(rate):
            used.add(row.item)
    return used


def _times(story: Story, row: CarriedRow) -> int:
    dice = Dice(story.trip.trip, "times", row.item)
    days = sum(row.along(day) for day in story.trip.days)
    return max(1, round(truth.TIMES_A_DAY[row.item] * days * dice.between(0.75, 1.2)))


def _fill_in(story: Story) -> None:
    """Write used and brought_home into the rows, as far as the trip's record goes."""
    for row in story.rows:
        dice = Dice(story.trip.trip, "record", row.item)
        yes = row.item in story.used
        counted = yes and row.item in truth.TIMES_A_DAY and not story.trip.diary
        row.used = str(_times(story, row)) if counted else "yes" if yes else "no"
        if story.trip.use_record == "none" or (
            story.trip.use_record == "partial" and dice.chance(0.5)
        ):
            row.used = ""
    note_leftovers(story.trip, story.rows, story.used)


def _diary(story: Story) -> list[Use]:
    """The used.csv of a camper who wrote in the evenings: counts by day, and odd jobs."""
    uses: list[Use] = []
    for item in dict.fromkeys(row.item for row in story.rows if row.item in story.used):
        dice = Dice(story.trip.trip, "diary", item)
        if item in truth.TIMES_A_DAY and item != "gas-cartridge":
            row = next(row for row in story.rows if row.item == item)
            for day in filter(row.along, story.trip.days):
                times = int(truth.TIMES_A_DAY[item] * dice.between(0.5, 1.5) + 0.5)
                if times:
                    uses.append(Use(item, day, times))
    here = {row.item for row in story.rows}
    for job in table_rows("stand_ins"):
        item = job["item"]
        dice = Dice(story.trip.trip, "stand-in", item)
        if item in story.used and job["instead_of"] not in here:
            for day in story.trip.days[:-1]:
                along = any(r.along(day) for r in story.rows if r.item == item)
                if dice.chance(float(job["share"])) and along:
                    uses.append(Use(item, day, 1, job["used_for"], job["note"]))
    plain = {use.item for use in uses if not use.used_for}
    odd = {use.item for use in uses} - plain
    uses += [Use(item, None, 1) for item in sorted(odd)]
    return sorted(uses, key=lambda u: (u.day or story.trip.start_on, u.item, u.used_for))


def _legs(trip: Trip, rows: list[CarriedRow]) -> list[DrawnLeg]:
    """A row for each day of travel; of a plan only how far and how high it goes."""
    by_mode = {row["mode"]: row for row in table_rows("modes")}
    legs = []
    for number, km in enumerate(trip.km):
        if km == 0:
            continue
        dice = Dice(trip.trip, "leg", str(number))
        mode = trip.mode
        if mode == "mixed":
            mode = "paddle" if number in (1, 2) else "bike"
        climb, pace = (float(by_mode[mode][name]) for name in ("climb_m_per_km", "pace_kmh"))
        ascent = round(km * climb * dice.between(0.6, 1.4) / 10) * 10
        hours = round(km / (pace * dice.between(0.88, 1.12)), 1)
        day, noted = trip.days[number], mode if trip.mode == "mixed" else ""
        if trip.plan:
            legs.append(DrawnLeg(day, noted, km, ascent, None, None))
            continue
        battery = battery_wh(trip, rows, day, km, ascent) if mode == "ebike" else None
        legs.append(DrawnLeg(day, noted, km, ascent, hours, battery))
    return legs


def _live(trip: Trip, workshop: Workshop, feeling: Feeling) -> Story:
    story = Story(trip, pack(trip))
    story.legs = _legs(trip, story.rows)
    if trip.plan:
        return story
    story.days = days_of(trip)
    story.nights = nights_of(trip, story.days)
    story.used = _draw_uses(story)
    story.failures = workshop.trip(trip, story.rows, story.used)
    _fill_in(story)
    if trip.diary:
        story.uses = _diary(story)
    in_diary = {use.item for use in story.uses}
    for row in story.rows:
        if row.item in in_diary:
            row.used = ""  # its use stands in used.csv
    story.votes = feeling.votes(trip, story.rows, story.days, story.nights)
    return story


def lives() -> tuple[list[Story], Workshop]:
    """Every trip's story in order of time, and the workshop that saw what broke."""
    workshop, feeling = Workshop(), Feeling()
    return [_live(trip, workshop, feeling) for trip in TRIPS], workshop
