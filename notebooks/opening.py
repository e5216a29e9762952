"""What every notebook begins with: the day it speaks from, and the logbook it asks."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from ..analysis.display.words import Display
from ..analysis.store.opening import open_store
from ..analysis.store.today import made_on
from ..tripdata.errors import QuestionError
from ..tripdata.store import store_path

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(frozen=True)
class OpenLogbook:
    """The store of a logbook, open for reading, and the units its owner reads."""

    store: "DuckDBPyConnection"
    display: Display


def report_day(text: str = "") -> date:
    """Return the day a report speaks from: the one given, else the one the report carries.

    Raises QuestionError where the text is not a date.
    """
    given = text.strip()
    if not given:
        return made_on()
    try:
        day = date.fromisoformat(given)
    except ValueError:
        day = None
    if day is None or day.isoformat() != given:
        raise QuestionError(
            f'today: expected a date like 2026-05-01, got "{given}"; correct it or leave it out'
        )
    return day


@contextmanager
def open_logbook() -> Iterator[OpenLogbook]:
    """Open the logbook of $TAREBOOK_LOGBOOK, else that of the current folder, for a ``with`` block.

    Raises StoreError where it is not loaded.
    """
    folder = Path(os.environ.get("TAREBOOK_LOGBOOK") or ".")
    with open_store(store_path(folder)) as store:
        settings = dict(store.table("settings").fetchall())
        yield OpenLogbook(store, Display.of(settings))
