"""Rows worked out in Python as a data frame or a relation, of the types that their columns name."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import duckdb

from .terms import Output, Term

if TYPE_CHECKING:
    import pandas as pd


def typed_frame(rows: Iterable[Mapping[str, Any]], terms: Sequence[Term]) -> "pd.DataFrame":
    """Rows as a data frame that has exactly the columns of ``terms``, in order and of their types.

    Missing is None in the rows; keys that no term names are left out.
    """
    import pandas as pd

    types = {
        "text": "string",
        "whole": "Int64",
        "number": "float64",
        "flag": "boolean",
        "date": "datetime64[s]",
        "moment": "datetime64[us]",
    }
    kept = list(rows)
    return pd.DataFrame(
        {t.name: pd.Series([row[t.name] for row in kept], dtype=types[t.kind]) for t in terms}
    )


def relation_of(
    connection: duckdb.DuckDBPyConnection, rows: Iterable[Mapping[str, Any]], output: Output
) -> duckdb.DuckDBPyRelation:
    """Rows as a relation of the types that the glossary names."""
    import pyarrow as pa  # type: ignore[import-untyped]

    types = {
        "text": pa.string(),
        "whole": pa.int64(),
        "number": pa.float64(),
        "flag": pa.bool_(),
        "date": pa.date32(),
        "moment": pa.timestamp("us"),
    }
    kept = list(rows)
    columns = {t.name: pa.array([row[t.name] for row in kept], types[t.kind]) for t in output.terms}
    return connection.from_arrow(pa.table(columns))
