"""What a person said on the form, as a trip's entry; what cannot be read is told at its field."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any, TypeVar

from ...tripdata.logbook_entry import (
    Along,
    Amount,
    Day,
    Dropped,
    Failure,
    Leg,
    Score,
    TripEntry,
    Wish,
)
from ...tripdata.logbook_entry.telling import TOLD_SEVERITIES
from ...tripdata.names import printable, shown
from ...tripdata.units import SIGNS
from . import cells
from .cells import CellError
from .offered import HOW_MUCH, Book, Thing
from .showing import consumable, day_cells, days_of, key_of, record_of

_LONGEST_TRIP = 400
_NO_DISTANCE = (
    "Climbing counts only beside a distance. Write the distance too, 0 if you did not move. What "
    "you typed stays here as a draft."
)
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong at a field, which the front end finds by ``at``."""

    at: str
    text: str


@dataclass(slots=True)
class Said:
    """The entry, and what could not be read; with problems the entry is not to be written."""

    entry: TripEntry
    problems: list[Problem] = field(default_factory=list)


def said(
    base: TripEntry,
    typed: Mapping[str, Any],
    book: Book,
    today: date,
    dropped: tuple[Dropped, ...] = (),
) -> Said:
    """The entry that what is typed makes of the one the form was opened on."""
    reader = _Reader(base, typed, book)
    start, end = reader.dates()
    record, along = reader.record(), reader.along()
    reader.pending()
    entry = replace(
        base,
        title=str(typed["title"]).strip() or None,
        start_on=start,
        end_on=end,
        mode=typed["mode"] or None,
        note=str(typed["note"]).strip() or None,
        plan=base.plan and (start is None or start > today),
        use_record=record,
        along=along,
        days=tuple(reader.days(start, end)) if start and end else base.days,
        failures=tuple(reader.failures()),
        wishes=tuple(reader.wishes()),
        dropped=dropped,
    )
    return Said(entry, reader.problems)


class _Reader:
    def __init__(self, base: TripEntry, typed: Mapping[str, Any], book: Book) -> None:
        self._base, self._typed, self._book = base, typed, book
        self.problems: list[Problem] = []
        self._record = record_of(base)

    def _try(self, at: str, read: Callable[[], Value], otherwise: Value) -> Value:
        try:
            return read()
        except CellError as error:
            self.problems.append(Problem(at, str(error)))
            return otherwise

    def _fault(self, at: str, text: str) -> None:
        self.problems.append(Problem(at, text))

    def dates(self) -> tuple[date | None, date | None]:
        """First and last day."""
        found: list[date | None] = []
        for at, name in (("start_on", "first"), ("end_on", "last")):
            try:
                found.append(date.fromisoformat(self._typed[at]))
            except ValueError:
                self._fault(at, f"The {name} day is missing.")
                found.append(None)
        start, end = found
        if start and end and end < start:
            self._fault("end_on", "The last day is before the first.")
            return None, None
        if start and end and (end - start).days > _LONGEST_TRIP:
            self._fault("end_on", f"A trip has at most {_LONGEST_TRIP} days.")
            return None, None
        return start, end

    def record(self) -> str | None:
        """How complete the record of use is, as it is to be written."""
        if not self._typed["went"] or self._record == "full":
            return self._base.use_record
        return "all_but"

    def along(self) -> tuple[Along, ...]:
        """What came along: without what stayed at home, with what was brought besides."""
        left, packed, home = set(self._typed["left"]), self._typed["packed"], self._typed["home"]
        took = self._typed.get("took")
        rows = []
        for row in self._base.along:
            key, thing = key_of(row), self._book.things.get(row.item)
            if key in left:
                continue
            used = self._use(row.used, bool(packed.get(key)), thing)
            weight, brought = row.weight, row.brought_home
            if consumable(row, thing):
                if took is not None:
                    weight = self._mass(f"took.{key}", took.get(key, ""), weight, "weight")
                brought = self._mass(f"home.{key}", home.get(key, ""), brought, "brought_home")
            rows.append(replace(row, used=used, weight=weight, brought_home=brought))
        for place, each in enumerate(self._typed["brought"]):
            thing = self._book.things.get(each["item"])
            if thing is None:
                self._fault(f"brought.{place}", f"Nothing you own is called {shown(each['item'])}.")
                continue
            used = self._use(None, bool(each.get("packed")), thing)
            at = f"brought.{place}"
            weight = self._mass(f"took.{at}", each.get("took", ""), None, "weight")
            brought = self._mass(f"home.{at}", each.get("home", ""), None, "brought_home")
            rows.append(Along(thing.item, used=used, weight=weight, brought_home=brought))
        return tuple(rows)

    def _use(
        self, before: bool | int | None, packed: bool, thing: Thing | None
    ) -> bool | int | None:
        """What is written of the use of a row, from what its tick says and what stood there."""
        if not self._typed["went"]:
            return before
        full = self._record == "full"
        insurance = thing is not None and thing.insurance
        if packed:
            if before is not None and not before:
                return before
            # Silence that is read so already stays silence.
            return None if full or (insurance and self._record == "all_but") else False
        if before:
            return before
        return True if full or insurance else None

    def _mass(self, at: str, text: str, before: Amount | None, column: str) -> Amount | None:
        unit = self._book.units.mass
        return self._amount(at, text, unit, before, ("carried", column), "a weight")

    def pending(self) -> None:
        """What was typed where a name is to be chosen, and chosen nowhere, is not lost silently."""
        for at, text in self._typed.get("pending", {}).items():
            if not str(text).strip():
                continue
            if at == "brought" and self._book.meant(text) is None:
                self._fault(at, _unknown(text, ""))
            else:
                told = f"“{str(text).strip()}” is not chosen yet: choose it from the list, "
                self._fault(at, told + "or empty the field.")

    def _amount(
        self,
        at: str,
        text: str,
        unit: str,
        before: Amount | None,
        column: tuple[str, str],
        what: str,
    ) -> Amount | None:
        low, high = cells.bounds(*column, unit)
        what = f"{what} in {SIGNS.get(unit, unit)}"
        comma = self._book.comma
        return self._try(
            at, lambda: cells.amount(text, unit, before, low, high, what, comma), before
        )

    def days(self, start: date, end: date) -> list[Day]:
        """Every day of the trip; what was shown of others goes."""
        before = {day.day: day for day in self._base.days}
        typed = self._typed["days"]
        return [
            self._day(before.get(day, Day(day)), typed.get(day.isoformat()), day < end)
            for day in days_of(start, end)
        ]

    def _day(self, before: Day, typed: Mapping[str, Any] | None, night: bool) -> Day:
        if typed is None or typed == day_cells(before, self._book):
            return before
        at, units = f"days.{before.day.isoformat()}", self._book.units
        rain, wet = self._rain(f"{at}.rain", typed["rain"], before)
        low = self._amount(
            f"{at}.low", typed["low"], units.temperature, before.low, ("weather", "low"), "a low"
        )
        others = tuple(s for s in before.scores if s.aspect not in ("sleep", "camp"))
        scores = (*self._scores(at, typed, before, night), *others)
        legs = tuple(self._legs(at, typed["legs"], before))
        return replace(before, legs=legs, low=low, rain=rain, wet=wet, scores=scores)

    def _legs(self, at: str, typed: list[Mapping[str, str]], before: Day) -> list[Leg]:
        units, legs = self._book.units, []
        for place, each in enumerate(typed):
            old = before.legs[place] if place < len(before.legs) else Leg(each["mode"])
            here = f"{at}.legs.{place}"
            leg = replace(
                old,
                mode=each["mode"] or old.mode,
                distance=self._amount(
                    *(f"{here}.distance", each["distance"], units.distance, old.distance),
                    *(("distances", "distance"), "a distance"),
                ),
                ascent=self._amount(
                    *(f"{here}.ascent", each["ascent"], units.height, old.ascent),
                    *(("distances", "ascent"), "a height"),
                ),
                hours=self._hours(f"{here}.distance", each.get("hours", "")),
            )
            said = leg.ascent is not None or leg.hours is not None
            if leg.distance is None and said and leg != old:
                self._fault(f"{here}.distance", _NO_DISTANCE)
            if place < len(before.legs) or leg.distance is not None:
                legs.append(leg)
        return legs

    def _hours(self, at: str, text: str) -> Decimal | None:
        if not text:
            return None
        return self._try(at, lambda: cells.number(text, 0, 24, "hours"), None)

    def _rain(self, at: str, text: str, before: Day) -> tuple[Amount | None, bool | None]:
        if text.strip() == day_cells(before, self._book)["rain"]:
            return before.rain, before.wet
        wet = cells.yes_or_no(text)
        if wet is not None:
            return None, wet
        unit = self._book.units.rain
        if not text.strip():
            return None, None
        try:
            cells.number(text, -1e9, 1e9, "", self._book.comma)
        except CellError as error:
            asks = str(error).startswith("Is it")
            inches = "inches" if unit == "in" else unit
            self._fault(at, str(error) if asks else f"Write the rain in {inches}, or yes or no.")
            return before.rain, before.wet
        return self._amount(at, text, unit, before.rain, ("weather", "rain"), "the rain"), None

    def _scores(self, at: str, typed: Mapping[str, str], before: Day, night: bool) -> list[Score]:
        old = {score.aspect: score for score in before.scores}
        found = []
        for aspect in ("sleep", "camp"):
            text, score = typed[aspect].strip(), old.get(aspect, Score(aspect))
            if aspect == "sleep" and not night:
                found += [score] if aspect in old else []
                continue
            value = self._try(f"{at}.{aspect}", partial(_score, text), None)
            warmth = score.warmth
            if aspect == "sleep":
                warmth = self._try(f"{at}.warmth", partial(_warmth, typed["warmth"]), None)
                if warmth is not None and not text:
                    self._fault(f"{at}.sleep", "Warmth needs a score of the sleep beside it.")
            if value is not None or aspect in old:
                found.append(replace(score, score=value, warmth=warmth))
        return found

    def failures(self) -> list[Failure]:
        """What broke."""
        found = []
        for place, each in enumerate(self._typed["failures"]):
            at = f"failures.{place}"
            if not any(str(each[name]).strip() for name in ("item", "severity", "what")):
                continue
            thing = self._book.meant(each["item"])
            old = _before(self._base.failures, each)
            if thing is None and not (old and old.item == each["item"]):
                self._fault(f"{at}.item", _unknown(each["item"], "Which thing was it?"))
            if each["severity"] not in TOLD_SEVERITIES:
                self._fault(f"{at}.severity", "How bad was it?")
            found.append(
                replace(
                    old or Failure(""),
                    item=thing.item if thing else each["item"],
                    severity=each["severity"],
                    what=each["what"].strip() or None,
                    day=date.fromisoformat(each["day"]) if each.get("day") else None,
                )
            )
        return found

    def wishes(self) -> list[Wish]:
        """What was missed: a thing of one's own that stayed at home, or anything else."""
        carried = {row.item for row in self._base.along}
        gone = {row.item for row in self._base.along if key_of(row) in self._typed["left"]}
        found = []
        for place, each in enumerate(self._typed["missed"]):
            text = str(each["what"]).strip()
            if not text:
                if each["how_much"]:
                    self._fault(f"missed.{place}.what", "What was it?")
                continue
            old, thing = _before(self._base.wishes, each) or Wish(), self._book.meant(text)
            own = thing is not None and (thing.item not in carried or thing.item in gone)
            how_much = each["how_much"] if each["how_much"] in HOW_MUCH else None
            item = thing.item if thing is not None and own else None
            found.append(replace(old, item=item, what=None if item else text, how_much=how_much))
        return found


def _score(text: str) -> int | None:
    return cells.whole(text, 1, 5, "1 to 5") if text else None


def _warmth(text: str) -> int | None:
    return cells.warmth(text) if text.strip() else None


def _before(rows: tuple[Value, ...], each: Mapping[str, Any]) -> Value | None:
    """The row that was shown at first, where it is one of these."""
    was = each.get("was")
    return rows[was] if isinstance(was, int) and 0 <= was < len(rows) else None


def _unknown(text: str, question: str) -> str:
    if not text.strip():
        return question
    return (
        f"“{printable(text.strip())}” is not in gear.csv. Add it there, then choose it here; until "
        "then put it in the note."
    )
