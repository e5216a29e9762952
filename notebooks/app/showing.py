"""What a trip's entry looks like on the form: the rows to tick, and what is typed already."""

from collections import Counter
from datetime import date, timedelta
from typing import Any

from ...analysis.display import words
from ...tripdata.contract import SYSTEMS
from ...tripdata.logbook_entry import Along, Day, TripEntry
from ...tripdata.names import folded
from .cells import in_unit
from .offered import Book, Thing, last_text, weight_text

SAID = ("full", "all_but")
"""Records of use by which what is not ticked counts as used."""


def key_of(row: Along) -> str:
    """What tells a row of what came along from the others of a trip, as text."""
    parts = (folded(row.item), row.carried_as or "", folded(row.bag or ""), row.from_day or "")
    return "|".join(map(str, parts))


def record_of(entry: TripEntry) -> str | None:
    """How complete the record of use is: blank is full where a use is noted anywhere."""
    noted = any(row.used is not None for row in entry.along)
    return entry.use_record or ("full" if noted else None)


def consumable(row: Along, thing: Thing | None) -> bool:
    """Whether a row is eaten, burnt or used up on the way."""
    return (row.carried_as or (thing.carried_as if thing else "")) == "consumable"


def stayed_packed(row: Along, thing: Thing | None, record: str | None) -> bool:
    """Whether a row counts as not used, as the form shows it at first.

    Of what nobody says: in a log of what stayed packed insurance is read so. On a trip of which
    nothing is noted yet, insurance starts out so that no logged trip has used; never what is worn.
    """
    if row.used is not None:
        return not row.used
    if record == "full":
        return True
    if thing is None or record == "partial":
        return False
    if record == "all_but":
        return thing.insurance
    return thing.stays_packed and row.carried_as in (None, thing.carried_as)


def sheet(entry: TripEntry, book: Book) -> dict[str, Any]:
    """The rows of what came along, by kit, then by system, for the front end.

    A kit of insurance alone, none of it worn or ever used, is ``sealed``: one tick says that it
    stayed unopened.
    """
    count = Counter(folded(each.item) for each in entry.along)
    rows = [_row(each, book, count[folded(each.item)] > 1) for each in entry.along]
    kits = {row["group"] for row in rows if row["kit"]}
    places = {words.label(system): place for place, system in enumerate(SYSTEMS)}
    order = sorted(
        {row["group"] for row in rows}, key=lambda g: (g not in kits, places.get(g, 99), g)
    )
    groups = []
    for name in order:
        its = [row for row in rows if row["group"] == name]
        sealed = name in kits and len(its) > 1 and all(row["seals"] for row in its)
        groups.append({"name": name, "sealed": sealed, "rows": [row["key"] for row in its]})
    return {
        "rows": {row["key"]: row for row in rows},
        "groups": groups,
        "trip": entry.trip,
        "where": f"trips/{entry.trip}",
        "from": _whose(entry, book),
    }


def _whose(entry: TripEntry, book: Book) -> str:
    """Whose list it is, where it is not the trip's own."""
    many = f"{len(entry.along)} thing{'s' if len(entry.along) != 1 else ''}"
    if entry.list_of is None or not entry.along:
        return ""
    if not entry.list_of:
        return f"This is all that gear.csv holds ({many})."
    trip = book.trip(entry.list_of)
    return f"This is the list of “{trip.title if trip else entry.list_of}” ({many})."


def _row(row: Along, book: Book, twice: bool) -> dict[str, Any]:
    thing = book.things.get(row.item)
    kit = thing.kit if thing else None
    about = [
        f"{row.quantity} pieces" if row.quantity and row.quantity > 1 else "",
        row.carried_as if thing and row.carried_as not in (None, thing.carried_as) else "",
        f"in {row.bag}" if row.bag and twice else "",
        f"with {row.carried_by}" if row.carried_by else "",
        f"from {words.day(row.from_day, year=False)}" if row.from_day else "",
    ]
    return {
        "key": key_of(row),
        "item": row.item,
        "name": thing.name if thing else row.item,
        "about": ", ".join(part for part in about if part),
        "group": kit or words.label(thing.system if thing else "other"),
        "kit": kit is not None,
        "seals": bool(thing and _seals(row, thing)),
        "consumable": consumable(row, thing),
        "food": bool(thing and thing.is_food),
        "weighs": weight_text(thing, book.units.mass) if thing else "",
        "last": last_text(thing, book.units.mass) if thing else "",
        "each": bool(row.quantity and row.quantity > 1),
    }


def _seals(row: Along, thing: Thing) -> bool:
    """Whether a thing may be folded away in a kit that stayed unopened."""
    worn = "worn" in (row.carried_as, thing.carried_as)
    return thing.insurance and not thing.ever_used and not worn


def typed(entry: TripEntry, book: Book) -> dict[str, Any]:
    """What stands in the fields of the form at first, as text."""
    record = record_of(entry)
    packed = {
        key_of(row): True
        for row in entry.along
        if stayed_packed(row, book.things.get(row.item), record)
    }
    unit = book.units.mass
    return {
        "title": entry.title or "",
        "start_on": entry.start_on.isoformat() if entry.start_on else "",
        "end_on": entry.end_on.isoformat() if entry.end_on else "",
        "mode": entry.mode or "",
        "note": entry.note or "",
        "went": record in SAID,
        "packed": packed,
        "took": {
            key_of(r): in_unit(r.weight, unit)
            for r in entry.along
            if r.weight is not None and consumable(r, book.things.get(r.item))
        },
        "home": {key_of(r): in_unit(r.brought_home, unit) for r in entry.along if r.brought_home},
        "left": [],
        "brought": [],
        "days": {day.day.isoformat(): day_cells(day, book) for day in entry.days},
        "failures": [
            {
                "item": _name(f.item, book),
                "severity": f.severity,
                "what": f.what or "",
                "day": f.day.isoformat() if f.day else "",
                "was": place,
            }
            for place, f in enumerate(entry.failures)
        ],
        "missed": [
            {
                "what": _name(w.item, book) or w.what or "",
                "how_much": w.how_much or "",
                "was": place,
            }
            for place, w in enumerate(entry.wishes)
        ],
    }


def _name(item: str | None, book: Book) -> str:
    """What a thing is called."""
    thing = book.things.get(item or "")
    return thing.name if thing else item or ""


def day_cells(day: Day, book: Book) -> dict[str, Any]:
    """The cells of a day, as text in the owner's units."""
    units = book.units
    legs = [
        {
            "mode": leg.mode,
            "distance": in_unit(leg.distance, units.distance),
            "ascent": in_unit(leg.ascent, units.height),
            "hours": "" if leg.hours is None else f"{leg.hours:f}",
        }
        for leg in day.legs
    ]
    scores = {score.aspect: score for score in day.scores}
    sleep, camp = scores.get("sleep"), scores.get("camp")
    wet = "" if day.wet is None else ("yes" if day.wet else "no")
    return {
        "legs": legs,
        "low": in_unit(day.low, units.temperature),
        "rain": in_unit(day.rain, units.rain) or wet,
        "sleep": _text(sleep.score if sleep else None),
        "warmth": _text(sleep.warmth if sleep else None),
        "camp": _text(camp.score if camp else None),
    }


def _text(value: int | None) -> str:
    return "" if value is None else str(value)


def days_of(start: date, end: date) -> list[date]:
    """The days of a trip, both ends included."""
    return [start + timedelta(days=n) for n in range((end - start).days + 1)]
