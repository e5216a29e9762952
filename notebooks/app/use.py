"""What the ticks of a list say of its use, and what is written of it, in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ...tripdata.logbook_entry import Along, TripEntry
from .offered import Book
from .showing import key_of, typed


@dataclass(frozen=True, slots=True)
class ListTicks:
    """How many rows are ticked as unused and how many are not; ``by_hand``: of those, by a person.

    ``went``: whoever ticked says to have gone through the list.
    """

    ticked: int
    others: int
    by_hand: int
    went: bool


def list_ticks(base: TripEntry, said: Mapping[str, Any], book: Book) -> ListTicks:
    """The ticks as they stand against those that the form put there."""
    first = {key for key, on in typed(base, book)["packed"].items() if on}
    keys = {key_of(row) for row in base.along} - set(said["left"])
    now = {key for key, on in said["packed"].items() if on} & keys
    brought = sum(bool(each.get("packed")) for each in said["brought"])
    number = len(now) + brought
    by_hand = len((now ^ first) & keys) + brought
    return ListTicks(number, len(keys) + len(said["brought"]) - number, by_hand, said["went"])


def use_in_words(entry: TripEntry, went: bool, book: Book) -> str:
    """What is written of the use of what came along, in one line."""
    along = len(entry.along)
    if not along:
        return ""
    if not went:
        return (
            f"Along: {along}. You have not said that you went through the list, so nothing is "
            "written about use."
        )
    packed = sum(not _used(row, entry.use_record, book) for row in entry.along)
    return f"Along: {along}. Used: {along - packed}. Stayed packed: {packed}."


def _used(row: Along, record: str | None, book: Book) -> bool:
    """Whether a row is read as used: where nothing is said, as its record of use has it."""
    if row.used is not None:
        return bool(row.used)
    thing = book.things.get(row.item)
    return record != "full" and not (thing is not None and thing.insurance)
