"""A question in SQL that somebody brings along: one SELECT, values bound, typed as tables are."""

import re
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import duckdb

from ...tripdata.errors import QuestionError
from ..display.markup import clean
from .rows import to_frame

if TYPE_CHECKING:
    import pandas as pd

_ONE_SELECT = (
    "expected one SELECT and nothing beside it; the files of the logbook are changed in an editor, "
    "never here"
)
_LOGBOOK_ONLY = "only the logbook can be read here, no other file or address"


def own_question(
    store: duckdb.DuckDBPyConnection,
    query: str,
    parameters: Mapping[str, Any],
    worked_out: Collection[str] = (),
) -> "pd.DataFrame":
    """The answer to a SELECT. Raises QuestionError where it is none or cannot be answered.

    ``worked_out``: tables that come out and that the store does not hold.
    """
    try:
        statements = store.extract_statements(query)
        if len(statements) != 1 or statements[0].type is not duckdb.StatementType.SELECT:
            raise QuestionError(f"sql: {_ONE_SELECT}")
        if fault := _fault(statements[0].named_parameters, parameters):
            raise QuestionError(f"sql: {fault}")
        values = {name: _bound(value) for name, value in parameters.items()}
        with _read_only(store):
            answer = store.sql(query, params=values)
            names = answer.columns
            if twice := sorted({name for name in names if names.count(name) > 1}):
                listed = ", ".join(twice)
                fault = f"two columns are called {listed}; name them apart with AS"
                raise QuestionError(f"sql: {fault}")
            return to_frame(answer)
    # A union of types, for one, has no column of a data frame.
    except (duckdb.Error, TypeError, NotImplementedError) as error:
        raise QuestionError(f"sql: {_reason(error, worked_out)}") from None


@contextmanager
def _read_only(store: duckdb.DuckDBPyConnection) -> Iterator[None]:
    """Nothing can be changed in here, not even rows that are kept in memory."""
    store.execute("BEGIN TRANSACTION READ ONLY")
    try:
        yield
    finally:
        store.execute("ROLLBACK")


def _fault(expected: set[str], given: Mapping[str, Any]) -> str:
    """What is wrong with the values for a query's parameters; empty where nothing is."""
    if any(name.isdigit() for name in expected):
        return "expected named parameters such as $low, got ?; name each"
    if missing := sorted(expected - given.keys()):
        return f"no value for ${missing[0]}; give {missing[0]}=... beside it"
    if spare := sorted(given.keys() - expected):
        return f"{spare[0]} is not in the query; write ${spare[0]} there"
    return ""


def _bound(value: Any) -> Any:
    """A value as it is bound: one of NumPy or pandas as Python has it, missing as None."""
    import pandas as pd

    if pd.api.types.is_scalar(value):
        if pd.isna(value):
            return None
        return value.item() if hasattr(value, "item") else value
    return value.tolist() if hasattr(value, "tolist") else value


def _reason(error: Exception, worked_out: Collection[str]) -> str:
    """DuckDB's complaint in a line, without its class and the query, which the asker has."""
    if isinstance(error, duckdb.PermissionException):
        return _LOGBOOK_ONLY
    if "read-only mode" in str(error):
        return _ONE_SELECT
    text = " ".join(str(error).split("\n\nLINE ")[0].split())
    line = clean(re.sub(r"^[A-Z][A-Za-z ]* Error: ", "", text))
    if not isinstance(error, duckdb.CatalogException):
        return line
    unknown = re.match(r"Table with name (\w+) does not exist", line)
    if unknown and (name := unknown[1].casefold()) in worked_out:
        return f'{name} is worked out and not in the store; book.table("{name}") gives it'
    return f"{line} book.tables() lists what there is"
