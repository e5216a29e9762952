"""Rows worked out in Python as a data frame of the types that their columns name."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from .terms import Term

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
    values = list(rows)
    return pd.DataFrame(
        {t.name: pd.Series([row[t.name] for row in values], dtype=types[t.kind]) for t in terms}
    )
