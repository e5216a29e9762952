"""What is said of records that could not be loaded: in a report, and by whatever loads them."""

from pathlib import Path
from typing import TYPE_CHECKING

import duckdb

from ...tripdata.store import aside_counts
from ..display.words import count
from .rows import ask

if TYPE_CHECKING:
    from ...tripdata.problems import Findings


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


def loading_remarks(logbook: Path, findings: "Findings | None") -> tuple[str, ...]:
    """What to know of a store that was just made current, whose findings these are; often nothing.

    One remark where the former store was broken, one where anything was set aside.
    """
    remarks = []
    if findings is not None and findings.rebuilt:
        remarks.append(
            "the store did not look as this program left it; it was built anew from your files"
        )
    aside, unreadable = aside_counts(logbook)
    missing = [f"{aside} record{'s' if aside != 1 else ''} set aside"] if aside else []
    if unreadable:
        missing.append(f"{unreadable} file{'s' if unreadable != 1 else ''} unreadable")
    if missing:
        remarks.append(f"{' and '.join(missing)}; `tarebook check` says where and why")
    return tuple(remarks)
