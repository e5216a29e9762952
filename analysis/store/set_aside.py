"""What is said of records that could not be loaded: in a report, and by whatever loads them."""

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


def loading_remarks(rebuilt: bool, records: int, files: int) -> tuple[str, ...]:
    """What to know of a store that was just made current; often nothing.

    rebuilt: whether the former one was broken. records: how many were set aside; files: how many
    could not be read.
    """
    remarks = []
    if rebuilt:
        remarks.append(
            "the store did not look as this program left it; it was built again from your files"
        )
    missing = [f"{records} record{'s' if records != 1 else ''} set aside"] if records else []
    if files:
        missing.append(f"{files} file{'s' if files != 1 else ''} unreadable")
    if missing:
        remarks.append(f"{' and '.join(missing)}; `tarebook check` says where and why")
    return tuple(remarks)
