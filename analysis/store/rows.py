"""Rows of the store as data frames, and questions put to it with bound parameters.

Data types of every frame: text is ``string``, whole numbers ``Int64``, yes/no ``boolean``, numbers
``float64``, dates ``datetime64[s]`` and moments ``datetime64[us]`` (``.dt.strftime("%Y-%m-%d")``
gives ISO text).
Missing is ``pandas.NA``, ``NaN`` or ``NaT`` as the type has it; never 0, never a word.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import duckdb

from .opening import question_text

Store = duckdb.DuckDBPyConnection
"""The logbook's store, opened for reading (`opening.open_store`)."""

if TYPE_CHECKING:
    import pandas as pd

Record = Mapping[str, Any]
"""One row of an answer: values by column, missing is None."""


def to_frame(relation: duckdb.DuckDBPyRelation) -> "pd.DataFrame":
    """All rows of a relation as a data frame of the types above."""
    import pandas as pd
    import pyarrow as pa  # type: ignore[import-untyped]

    types = {
        pa.int64(): pd.Int64Dtype(),
        pa.bool_(): pd.BooleanDtype(),
        pa.string(): pd.StringDtype(),
    }
    table = relation.to_arrow_table()
    for place, field in enumerate(table.schema):
        table = table.set_column(place, field.name, _plain(table.column(place)))
    frame: pd.DataFrame = table.to_pandas(types_mapper=types.get, date_as_object=False)
    days = {f.name: "datetime64[s]" for f in table.schema if pa.types.is_date(f.type)}
    return frame.astype(days)


def _plain(column: Any) -> Any:
    """A column of Arrow as one of the types above, where there is one for it.

    Sums of whole numbers come wider than 64 bits: those that do not fit become numbers.
    """
    import pyarrow as pa

    kind, of = column.type, pa.types
    if of.is_decimal(kind) and kind.scale == 0:
        try:
            return column.cast(pa.int64())
        except pa.ArrowInvalid:
            return column.cast(pa.float64())
    if of.is_decimal(kind) or of.is_floating(kind):
        return column.cast(pa.float64())
    if of.is_integer(kind) and kind != pa.uint64():
        return column.cast(pa.int64())
    if of.is_timestamp(kind):
        return column.cast(pa.timestamp("us", kind.tz), safe=False)
    return column.cast(pa.string()) if of.is_dictionary(kind) else column


def ask(
    connection: duckdb.DuckDBPyConnection, question: str, **parameters: object
) -> list[dict[str, Any]]:
    """The answer to a question, a dict a row; missing is None. "cold/x" is ``cold/sql/x.sql``."""
    # Not `sql`, which plans a question once for its columns and again for its rows.
    answer = connection.execute(question_text(question), parameters or None)
    names = [column[0] for column in answer.description]
    return [dict(zip(names, row, strict=True)) for row in answer.fetchall()]
