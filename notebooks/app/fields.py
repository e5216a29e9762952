"""Cells of the form read one by one; what is wrong is told at its field."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from ...tripdata.logbook_entry import Amount, TripEntry
from ...tripdata.units import SIGNS
from . import cells
from .cells import CellError
from .offered import Book
from .showing import record_of

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong at a field, which the front end finds by ``at``."""

    at: str
    text: str


class Fields:
    """What is typed, over the entry that the form was opened on; ``problems`` is what is wrong."""

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
