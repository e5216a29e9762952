"""A trip begun: from its plan, like another trip, or like the latest of its mode."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from ..errors import QuestionError
from ..journal import recover
from ..start import LaidOut, lay_out, mass_text
from ..store import ensure_current, settings_in_use
from .entry import Along, Amount, Day, TripEntry
from .reading import broken_row, entry_of
from .standing import TripFiles
from .typed import Typed


def begin(
    folder: Path,
    trip: str,
    like: str | None = None,
    start_on: date | None = None,
    end_on: date | None = None,
    mode: str | None = None,
) -> TripEntry:
    """The entry of a trip that is begun; nothing is written.

    Where the trip is there already, as a plan, or some of its files are while its row or the days
    in it are missing, it is what its files say; without a list of its own
    it gets that of another trip, unless rows of it were set aside. That is ``like``, else the
    latest of the same mode that took place and has a list, else all that is owned; what took over
    from what was given up is put in. Days and mode that are given count instead of the trip's own.
    How use is recorded stays as it is: it is for whoever went through the list to say. What food
    and fuel weighed on the other trip is left blank.

    Raises QuestionError for a name that no trip can have, for a trip whose row has a mistake and
    where there is no trip ``like``; LogbookError, StoreError where the logbook cannot be loaded.
    """
    ensure_current(folder)
    laid = lay_out(folder, trip, like, mode, begun=True)
    recover(folder)
    files = TripFiles(folder, laid.name, begun=True).read()
    if broken := broken_row(files):
        raise QuestionError(broken[0])
    entry = entry_of(Typed(files))
    mode = mode or entry.mode
    if laid.own is None and laid.model is not None:
        mode = mode or laid.model.mode
    start, end = start_on or entry.start_on, end_on or entry.end_on
    entry = replace(entry, start_on=start, end_on=end, mode=mode)
    if not entry.along and not files.any_aside("carried"):
        along = tuple(_along(laid, settings_in_use(folder).mass, files))
        list_of = laid.model.trip if laid.model is not None else ""
        entry = replace(entry, along=along, list_of=list_of)
    return replace(entry, days=_days(entry))


def _days(entry: TripEntry) -> tuple[Day, ...]:
    """A Day for each day of the trip, those that are known already as they are."""
    start, end = entry.start_on, entry.end_on
    if start is None or end is None or not 0 <= (end - start).days <= 400:
        return entry.days
    known = {day.day: day for day in entry.days}
    days = (start + timedelta(days=n) for n in range((end - start).days + 1))
    return tuple(known.get(day, Day(day)) for day in days)


def _along(laid: LaidOut, mass: str, files: TripFiles) -> Iterator[Along]:
    """The rows; what is eaten or burnt weighs something else each time, so that is left blank."""
    for row in laid.items:
        one = _one(row, mass)
        used_up = (one.carried_as or files.kind(one.item)) == "consumable"
        yield replace(one, weight=None) if used_up else one


def _one(row: tuple[Any, ...], mass: str) -> Along:
    item, quantity, weight_mg, carried_as, carried_by, bag = row
    weight = None if weight_mg is None else Amount(Decimal(mass_text(weight_mg, mass)), mass)
    return Along(
        item=item,
        quantity=quantity,
        weight=weight,
        carried_as=carried_as,
        carried_by=carried_by,
        bag=bag,
    )
