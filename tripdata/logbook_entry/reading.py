"""What the files of a trip say now."""

from collections import defaultdict
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from ..errors import QuestionError
from ..journal import recover
from ..names import nearest, shown
from .entry import Along, Day, Failure, Leg, Score, TripEntry, Wish
from .not_shown import remarks_on
from .standing import Standing, TripFiles
from .typed import Typed


def read_entry(folder: Path, trip: str) -> TripEntry:
    """What the files of a trip say: its rows, and a Day for each of its days.

    Raises QuestionError where there is no such trip or its row has a mistake, LogbookError where
    the folder is no logbook.
    """
    recover(folder)
    return entry_of(Typed(TripFiles(folder, trip).read()))


def entry_of(typed: Typed) -> TripEntry:
    """The same of files that are read; of a trip that is begun also without a row.

    Raises QuestionError.
    """
    files = typed.files
    trips = files.rows["trip"] or files.laid_out["trip"]
    if not trips and not files.begun:
        raise QuestionError(_no_such_trip(files))
    entry = TripEntry(files.name)
    for row in trips[:1]:
        entry = _with_row(entry, typed, row)
    value = typed.value
    return replace(
        entry,
        along=_along(typed),
        days=_days(typed, entry.start_on, entry.end_on),
        failures=tuple(
            Failure(
                each.row["item"],
                value(each, "day"),
                each.row["severity"],
                value(each, "what"),
                value(each, "fixed_with"),
                value(each, "fixed_on"),
                typed.origin(each),
            )
            for each in files.rows["failures"]
        ),
        wishes=tuple(
            Wish(
                item=value(each, "item"),
                what=value(each, "what"),
                system=value(each, "system"),
                how_much=value(each, "how_much"),
                note=value(each, "note"),
                origin=typed.origin(each),
            )
            for each in files.rows["wished"]
        ),
        seen=typed.seen(),
        not_shown=tuple(remarks_on(typed)),
    )


def _with_row(entry: TripEntry, typed: Typed, row: Standing) -> TripEntry:
    """The entry with what the trip's own row says."""
    value = typed.value
    return replace(
        entry,
        start_on=row.row["start_on"],
        end_on=row.row["end_on"],
        title=value(row, "title"),
        mode=value(row, "mode"),
        people=value(row, "people"),
        place=value(row, "place"),
        latitude=typed.decimal(row, "latitude"),
        longitude=typed.decimal(row, "longitude"),
        elevation=typed.amount(row, "elevation"),
        use_record=value(row, "use_record"),
        plan=bool(row.row["plan"]),
        note=value(row, "note"),
    )


def broken_row(files: TripFiles) -> list[str]:
    """What is wrong with the trip's own row where that is why there is none."""
    if files.rows["trip"] or files.laid_out["trip"]:
        return []
    for fault in files.findings.records:
        source = files.sources.get(fault.file)
        if source is not None and source.table == "trip" and files.own(fault.trip or ""):
            return [
                f"{fault.file}:{fault.line} has {shown(files.trip)}, but with a mistake; mend that "
                "first, `tarebook check` says how"
            ]
    return []


def _no_such_trip(files: TripFiles) -> str:
    if broken := broken_row(files):
        return broken[0]
    near = nearest(files.trip, files.trip_names())
    hint = f'; did you mean "{near}"?' if near else ""
    return f"there is no trip {shown(files.trip)}{hint}"


def _use(times: int | None) -> bool | int | None:
    return bool(times) if times in (0, 1) else times


def _along(typed: Typed) -> tuple[Along, ...]:
    noted = typed.files.noted

    def one(each: Standing) -> Along:
        item = each.row["item"]
        return Along(
            item=item,
            used=_use(noted.get(item, each.row["used"])),
            quantity=typed.value(each, "quantity"),
            weight=typed.amount(each, "weight"),
            carried_as=typed.value(each, "carried_as"),
            carried_by=typed.value(each, "carried_by"),
            bag=typed.value(each, "bag"),
            from_day=typed.value(each, "from_day"),
            until_day=typed.value(each, "until_day"),
            brought_home=typed.amount(each, "brought_home"),
            note=typed.value(each, "note"),
            origin=typed.origin(each),
        )

    return tuple(map(one, typed.files.rows["carried"]))


def _days(typed: Typed, start: date | None, end: date | None) -> tuple[Day, ...]:
    by_day: dict[tuple[str, date], list[Standing]] = defaultdict(list)
    for table in ("distances", "weather", "comfort"):
        for each in typed.files.rows[table]:
            by_day[table, each.row["day"]].append(each)
    for each in typed.files.unfinished:
        by_day["distances", each.row["day"]].append(each)

    def one(day: date) -> Day:
        sky: dict[str, Any] = {}
        for each in by_day["weather", day][:1]:
            amounts = ("low", "high", "rain", "wind")
            sky = {name: typed.amount(each, name) for name in amounts}
            sky["wet"] = typed.value(each, "wet")
            said = typed.value(each, "conditions") is not None
            sky["conditions"] = typed.text(each, "conditions") if said else None
        return Day(
            day,
            legs=tuple(_leg(typed, each) for each in by_day["distances", day]),
            scores=tuple(_score(typed, each) for each in by_day["comfort", day]),
            **sky,
        )

    if start is None or end is None:
        return tuple(one(day) for day in sorted({day for _, day in by_day}))
    return tuple(one(start + timedelta(days=n)) for n in range((end - start).days + 1))


def _leg(typed: Typed, each: Standing) -> Leg:
    return Leg(
        mode=typed.value(each, "mode") or "",
        distance=typed.amount(each, "distance"),
        ascent=typed.amount(each, "ascent"),
        hours=typed.decimal(each, "hours"),
        battery_wh=typed.decimal(each, "battery_wh"),
        origin=typed.origin(each),
    )


def _score(typed: Typed, each: Standing) -> Score:
    value = typed.value
    said = (each.row["aspect"], each.row["score"], value(each, "warmth"), value(each, "note"))
    return Score(*said, origin=typed.origin(each))
