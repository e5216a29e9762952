"""What an entry is: a table that comes out, with its columns, its options and its rows."""

from collections.abc import Callable, Mapping
from dataclasses import KW_ONLY, dataclass, field
from typing import TYPE_CHECKING, Any

from ...tripdata.errors import QuestionError
from ...tripdata.names import guess
from .options import OPTIONS, by_name, check_together
from .terms import Term, columns_of

if TYPE_CHECKING:
    import pandas as pd
    from duckdb import DuckDBPyConnection, DuckDBPyRelation

    from ..stats.estimate import Estimate

Row = dict[str, Any]
Rows = list[Row]
_ARROW = {
    "text": "string",
    "whole": "int64",
    "number": "float64",
    "flag": "bool_",
    "date": "date32",
}


@dataclass(frozen=True, slots=True)
class Remarked:
    """The rows of a table, and sentences on what to know of them."""

    rows: "Rows | DuckDBPyRelation"
    remarks: tuple[str, ...] = ()


def fields_of(record: object | None, *names: str) -> Row:
    """The fields of a record that are columns of the same names; nothing of no record."""
    return {} if record is None else {name: getattr(record, name) for name in names}


def interval_columns(name: str, estimate: "Estimate | None", ends: str = "") -> Row:
    """A value in the column of that name, and the ends of its interval in those that it begins.

    ``ends`` is what the names of the latter begin with, where that is something else.
    """
    low, high = f"{ends or name}_low", f"{ends or name}_high"
    if estimate is None:
        return {name: None, low: None, high: None}
    return {name: estimate.value, low: estimate.low, high: estimate.high}


@dataclass(frozen=True, slots=True)
class Entry:
    """One table: its name, what one row stands for, and how its rows are got.

    ``room`` names the folder whose ``columns.csv`` has its columns. Rows come sorted by the first
    ``sorted_by`` columns, which tell them apart where it is ``keyed``. ``view`` is the view of the
    store that has them as they are; where there is none, ``rows`` works them out: it is called with
    the store and, by name, with the options that were given and those that have a default, and a
    row may leave out what is missing in it.
    ``fault`` says what is wrong with the options together, each spelled by the function that it
    gets, and is empty where nothing is. ``takers`` has the tables of each option, of all rooms.
    ``caution`` comes with its rows, as a remark, and in help: where to go by them can hurt someone.
    """

    name: str
    _: KW_ONLY
    room: str
    grain: str
    sorted_by: int
    keyed: bool = False
    view: str = ""
    rows: "Callable[..., Rows | DuckDBPyRelation | Remarked] | None" = None
    options: tuple[str, ...] = ()
    fault: Callable[[Mapping[str, Any], Callable[[str], str]], str] = lambda *_: ""
    takers: Mapping[str, tuple[str, ...]] = field(default_factory=dict, repr=False)
    caution: str = ""

    @property
    def columns(self) -> tuple[Term, ...]:
        """Its columns, in order."""
        return columns_of(self.room)[self.name]

    @property
    def column_names(self) -> tuple[str, ...]:
        """The names of its columns, in order."""
        return tuple(term.name for term in self.columns)

    def read(
        self, options: Mapping[str, Any], spelled: Callable[[str], str] = by_name
    ) -> dict[str, Any]:
        """The options as the rows take them. Raises QuestionError on one that it does not take."""
        values = {}
        for name, given in options.items():
            if name not in self.options:
                raise QuestionError(self._refusal(name, spelled))
            try:
                value = OPTIONS[name].read(given)
            except QuestionError as error:
                raise QuestionError(f"{spelled(name)}: {error}") from None
            if value is not None:
                values[name] = value
        check_together(values, spelled)
        if fault := self.fault(values, spelled):
            raise QuestionError(f"{self.name}: {fault}")
        for name in self.options:
            default = OPTIONS[name].default
            if default is not None:
                values.setdefault(name, default())
        return values

    def answer(
        self, store: "DuckDBPyConnection", /, **options: Any
    ) -> "tuple[DuckDBPyRelation, tuple[str, ...]]":
        """The rows in order as a relation, and sentences on what to know of them."""
        values = self.read(options)
        rows = self.rows(store, **values) if self.rows else store.view(self.view)
        answer = rows if isinstance(rows, Remarked) else Remarked(rows)
        remarks = (*answer.remarks, self.caution) if self.caution else answer.remarks
        if isinstance(answer.rows, list):
            return self.relation_of(store, answer.rows), remarks
        return answer.rows, remarks

    def relation(self, store: "DuckDBPyConnection", /, **options: Any) -> "DuckDBPyRelation":
        """The rows in order, for writers that need no data frame.

        Dates come as ``datetime.date``, missing values as None. Raises QuestionError on an option
        that it does not take, or a value that is none of it.
        """
        return self.answer(store, **options)[0]

    def frame(self, store: "DuckDBPyConnection", /, **options: Any) -> "pd.DataFrame":
        """The rows as a data frame of the types that `store.rows` names.

        Its ``attrs`` are ``table``, the name; by column ``units``, empty where there is none, and
        ``meanings``; and ``remarks``, the sentences on what to know of it.
        """
        from ..store.rows import to_frame

        relation, remarks = self.answer(store, **options)
        frame = to_frame(relation)
        frame.attrs = {
            "table": self.name,
            "units": {term.name: term.unit for term in self.columns},
            "meanings": {term.name: term.meaning for term in self.columns},
            "remarks": list(remarks),
        }
        return frame

    def relation_of(self, store: "DuckDBPyConnection", rows: Rows) -> "DuckDBPyRelation":
        """Rows as a relation of the types of its columns.

        Raises KeyError on a column that is not declared, TypeError on a value of another kind.
        """
        import pyarrow as pa  # type: ignore[import-untyped]

        unknown = {name for row in rows for name in row} - set(self.column_names)
        if unknown:
            raise KeyError(f"{self.name}: no column {', '.join(sorted(unknown))}")
        columns = {}
        for term in self.columns:
            values = [row.get(term.name) for row in rows]
            if term.kind == "whole" and any(isinstance(value, float) for value in values):
                # Arrow would cut off what stands behind the point.
                raise TypeError(f"{self.name}: {term.name} is declared whole and is not")
            columns[term.name] = pa.array(values, getattr(pa, _ARROW[term.kind])())
        return store.from_arrow(pa.table(columns))

    def _refusal(self, name: str, spelled: Callable[[str], str]) -> str:
        if name not in OPTIONS:
            advice = guess(name, self.options, f"it takes {', '.join(self.options) or 'none'}")
            return f"{self.name}: no option {name}; {advice}"
        tables = self.takers.get(name, ())
        if not tables:
            return f"{spelled(name)} goes with no table"
        noun = "tables" if len(tables) > 1 else "table"
        return f"{spelled(name)} goes with the {noun} {', '.join(tables)}, not {self.name}"
