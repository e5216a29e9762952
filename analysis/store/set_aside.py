"""What a report says at its top of records that could not be loaded: one wording for all."""

import duckdb

from ..display.words import count
from .rows import ask


def records_set_aside(connection: duckdb.DuckDBPyConnection) -> int:
    """How many records of the logbook could not be loaded."""
    return int(ask(connection, "store/records_set_aside")[0]["records"])


def set_aside_notice(records: int, whose: str = "this logbook") -> tuple[str, ...]:
    """The notice as a tuple of one sentence, empty where nothing was set aside."""
    if not records:
        return ()
    verb = "is" if records == 1 else "are"
    return (
        f"{count(records, 'record')} of {whose} could not be read and {verb} missing here. Run "
        "tarebook check: it names each of them and what to correct.",
    )
