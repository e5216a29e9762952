"""What a person said on the form, as a trip's entry; what cannot be read is told at its field."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from ...tripdata.logbook_entry import Along, Amount, Dropped, Failure, TripEntry, Wish
from ...tripdata.logbook_entry.telling import TOLD_SEVERITIES
from ...tripdata.names import printable, shown
from .days_typed import DaysTyped
from .fields import Problem, Value
from .offered import HOW_MUCH, Book, Thing
from .showing import consumable, key_of

_LONGEST_TRIP = 400


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


class _Reader(DaysTyped):
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
