"""The Python door: a logbook as data frames, for a notebook or a script of one's own.

>>> from tarebook.analysis import open_logbook
>>> with open_logbook("tarebook-demo") as book:
...     nights = book.nights()
>>> nights.attrs["units"]["low_c"]
'°C'

Every table has the columns that `Logbook.columns` lists: quantities in g, km, m and °C whatever
units the owner reads, text as ``string``, whole numbers as ``Int64``, yes and no as ``boolean``,
other numbers as ``float64``, days as ``datetime64[s]``. What is not known is missing (``NA``,
``NaN``, ``NaT``), never 0. What a person can get wrong raises a `TarebookError`, whose message says
in one line what was expected, what was got and what to do.

A record is no advice. That something was not used on the trips that were noted says nothing of
trips that are colder, wetter or longer: no answer from here is a reason to leave at home what keeps
warm, dry, lit, found, fed, healed or afloat.
"""

import os
import warnings
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from ..tripdata.errors import QuestionError
from .display.markup import clean, escape
from .display.words import Display, count
from .store.settings import settings_of

if TYPE_CHECKING:
    import pandas as pd
    from duckdb import DuckDBPyConnection

    from .catalogue.entry import Entry


class LogbookWarning(UserWarning):
    """Something of the logbook is missing from its tables, or its store had to be made good."""


def open_logbook(folder: "str | os.PathLike[str] | None" = None, *, warn: bool = True) -> "Logbook":
    """Open a logbook to ask it questions; in a ``with`` block or, in a notebook, without one.

    folder: the logbook's; default: that of the environment variable TAREBOOK_LOGBOOK (which
    `tarebook lab` and reports set), else the current folder. Where its files changed since they
    were last read they are read again, as every command does. The book then shows the logbook as it
    is now; after a change of the files open it again.

    warn: whether to warn (`LogbookWarning`) of records that were set aside; their number is
    `Logbook.set_aside` in any case, and which they are ``book.table("set_aside")``.

    Raises LogbookError where the folder is no logbook, StoreError where its store cannot be written
    or read.

    >>> book = open_logbook("tarebook-demo")
    >>> book.items().shape[0] > 40
    True
    >>> book.close()
    """
    from ..tripdata.store import ensure_current
    from .store.set_aside import loading_remarks

    path = Path(os.environ.get("TAREBOOK_LOGBOOK") or "." if folder is None else folder)
    if not path.exists():
        with suppress(RuntimeError):  # no home is known: the name is taken as it stands
            path = path.expanduser()
    findings = ensure_current(path)
    book = Logbook(path)
    rebuilt = findings is not None and findings.rebuilt
    for remark in loading_remarks(rebuilt, book.set_aside, book.unreadable) if warn else ():
        warnings.warn(remark, LogbookWarning, stacklevel=2)
    return book


class Logbook:
    """A logbook that is open for reading; `open_logbook` gives one.

    What there is to ask::

        book.trips()                       a row a trip, plans among them
        book.items()                       a row an item that came along at least once
        book.nights()                      a row a night of a trip
        book.table("usage", mode="bike")   any table, with its options
        book.tables()                      which tables there are, and their options
        book.columns("usage")              what the columns of one mean, and their units
        book.sql("SELECT ...", low=5)      a question of your own

    Each gives a pandas DataFrame; those of a table carry in ``attrs`` its name (``table``) and by
    column ``units`` (empty where there is none) and ``meanings``. Nothing can be changed from here,
    and no other file be read. ``with`` closes the book; without it, `close` does, or the end of the
    program.
    """

    def __init__(self, folder: Path) -> None:
        from ..tripdata.store import store_path
        from .store.opening import open_store
        from .store.rows import ask

        self.folder = folder
        self._open = ExitStack()
        store = self._open.enter_context(open_store(store_path(folder)))
        self._store: DuckDBPyConnection | None = store
        missing = ask(store, "store/records_missing")[0]
        self.set_aside: int = missing["records"]
        self.unreadable: int = missing["files"]

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the book; a second time does nothing. Data frames that it gave stay."""
        self._store = None
        self._open.close()

    @property
    def store(self) -> "DuckDBPyConnection":
        """The store's connection: read-only, its views in place. Raises QuestionError once closed.

        For what `table` and `sql` do not give; reports are made from it.
        """
        if self._store is None:
            raise QuestionError("the logbook was closed; open it again with open_logbook")
        return self._store

    @property
    def settings(self) -> dict[str, str]:
        """What tarebook.toml sets, by its name: ``{"display.mass": "oz", ...}``."""
        return dict(self.store.table("settings").fetchall())

    @property
    def display(self) -> Display:
        """The units that the owner reads. Tables do not follow them: they are in g, km, m, °C."""
        return settings_of(self.store).display

    def trips(self) -> "pd.DataFrame":
        """A row a trip, plans (``plan``) among them, sorted by ``trip``.

        Weights at the start by kind (``base_g``, ``worn_g``, ``consumable_g``, ``vehicle_g``),
        ``nights``, ``distance_km``, ``ascent_m``, ``coldest_night_c``, what came along and was
        used; ``columns("trips")`` has them all.

        >>> with open_logbook("tarebook-demo") as book:
        ...     trips = book.trips()
        >>> past = trips[~trips["plan"]]
        >>> bool((past["nights"] >= 0).all())
        True
        """
        return self.table("trips")

    def items(self) -> "pd.DataFrame":
        """A row an item that came along on a trip that is no plan, sorted by ``item``.

        ``trips_carried`` counts the trips it came along on, ``trips_logged`` those of them on which
        it is known whether it was used, ``trips_used`` those on which it was: only the last two may
        be divided. What is carried in the hope of not needing it (``insurance``) is not waste.
        """
        return self.table("items")

    def nights(self) -> "pd.DataFrame":
        """A row a trip and night of trips that are no plan, sorted by both.

        ``low_c`` and where it is from, the normal low of that date and place, how one slept
        (``sleep_score``, 1 to 5) and how warm it felt (``warmth``, -3 to +3). The night belongs to
        the date on which it began.
        """
        return self.table("nights")

    def table(self, name: str, /, **options: Any) -> "pd.DataFrame":
        """The table of that name, as ``tarebook table`` has it.

        Options are those that `tables` names; a day is a ``date`` or text like "2026-05-01", and
        None leaves an option out. What must be known with the rows, such as cautions, stands in
        ``attrs["remarks"]``. Raises QuestionError on a name, option or value that it does not know,
        naming the nearest one, and where the logbook cannot answer.

        >>> with open_logbook("tarebook-demo") as book:
        ...     usage = book.table("usage", since="2025-01-01", mode="bike")
        >>> usage.attrs["units"]["weight_g"]
        'g'
        """
        return _entry(name).frame(self.store, **options)

    def tables(self) -> "pd.DataFrame":
        """Which tables there are: a row a table, in the order in which help lists them.

        ``name``; ``a_row_is``, what one row of it stands for; ``options`` that `table` takes for
        it, separated by commas; ``in_sql``, the name under which `sql` knows it, missing where its
        rows are worked out rather than looked up.
        """
        from .tables import TABLES

        return _listed(
            {
                "name": name,
                "a_row_is": entry.grain,
                "options": ", ".join(entry.options),
                "in_sql": entry.view or None,
            }
            for name, entry in TABLES.items()
        )

    def columns(self, name: str, /) -> "pd.DataFrame":
        """What the columns of a table are: a row a column, in order.

        ``name``; ``kind``: text, whole, number, flag, date or moment; ``unit``, empty where there
        is none; ``meaning``; ``may_be_missing``. Raises QuestionError on a name that is no table.

        >>> with open_logbook("tarebook-demo") as book:
        ...     columns = book.columns("trip_systems").set_index("name")
        >>> columns.loc["base_g", "unit"]
        'g'
        """
        return _listed(
            {
                "name": term.name,
                "kind": term.kind,
                "unit": term.unit,
                "meaning": term.meaning,
                "may_be_missing": term.nullable,
            }
            for term in _entry(name).columns
        )

    def sql(self, query: str, /, **parameters: Any) -> "pd.DataFrame":
        """The answer to one SELECT in DuckDB's SQL, typed as tables are.

        It may read the tables that `tables` names under ``in_sql``, and whatever ``SHOW TABLES``
        lists beside them. Two of those are not the tables of their name: ``normals`` and
        ``set_aside`` are the records that were read, ``known_normals`` and ``set_aside_rows`` what
        `table` gives. Values are bound, not written into the text: ``$low`` in the query is
        the parameter ``low``. A list goes with ``= ANY($names)``. Units are those that the columns'
        names end with. Nothing can be changed, and no file or address outside the logbook be read.

        Raises QuestionError where the query cannot be answered; the message says why.

        >>> with open_logbook("tarebook-demo") as book:
        ...     cold = book.sql("SELECT trip, night, low_c FROM nights WHERE low_c < $low", low=0)
        >>> list(cold.columns)
        ['trip', 'night', 'low_c']
        """
        from .store.own_question import own_question
        from .tables import TABLES

        if not isinstance(query, str):
            raise QuestionError(f"sql: expected text, got {type(query).__name__}")
        worked_out = [name for name, entry in TABLES.items() if not entry.view]
        return own_question(self.store, query, parameters, worked_out)

    def __repr__(self) -> str:
        return clean(f"{self._title}: {self._size}" if self._store is not None else self._title)

    def _repr_html_(self) -> str:
        size = "" if self._store is None else f"<br>{escape(self._size)}"
        return f"<p><strong>{escape(self._title)}</strong>{size}</p>"

    @property
    def _title(self) -> str:
        closed = "" if self._store is not None else " (closed)"
        return f"Logbook {self.folder.resolve().name}{closed}"

    @property
    def _size(self) -> str:
        from .store.rows import ask

        size = ask(self.store, "store/logbook_size")[0]
        parts = [
            count(size["trips"], "trip"),
            count(size["nights"], "night"),
            count(size["plans"], "plan"),
            f"{count(size['gear'], 'thing')} in gear.csv",
        ]
        if self.set_aside:
            parts.append(f"{count(self.set_aside, 'record')} set aside")
        return f"{', '.join(parts)}. book.tables() lists what there is to ask."


def _entry(name: str) -> "Entry":
    from .tables import entry

    return entry(name)


def _listed(rows: Any) -> "pd.DataFrame":
    import pandas as pd

    return pd.DataFrame(list(rows)).convert_dtypes()
