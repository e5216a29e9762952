"""What is said of files beside those of a logbook: spreadsheets, copies, what programs keep."""

import re
from collections.abc import Container

from .contract import BY_NAME

_SPREADSHEETS = (".xlsx", ".xlsm", ".xls", ".ods", ".numbers")
_TABLE = "|".join(sorted(BY_NAME, key=len, reverse=True))
_COPY = re.compile(
    rf"(?:copy of (?P<first>{_TABLE})\b.*"
    rf"|(?P<table>{_TABLE})(?: ?\(.*\)| ?- ?copy.*|[ _]copy.*| \d+|[ ._].*conflict.*|\.\d+))"
)


def spreadsheet_of(name: str) -> str:
    """The name of a spreadsheet's file without its ending, in small letters; else empty."""
    stem, dot, ending = name.lower().rpartition(".")
    return stem if dot + ending in _SPREADSHEETS and not stem.startswith((".", "~")) else ""


def copy_of(stem: str) -> str:
    """The table of which a CSV file of this name (without its ending) looks like a copy."""
    match = _COPY.fullmatch(stem.casefold())
    return (match["first"] or match["table"]) if match else ""


def about_other(name: str, beside: Container[str]) -> str:
    """What is to be done with a file that is not read; empty where nothing is to be said.

    ``beside`` are the names in its folder, in small letters. A spreadsheet whose CSV file stands
    beside it is its owner's own affair.
    """
    low = name.lower()
    if stem := spreadsheet_of(name):
        if f"{stem}.csv" in beside:
            return ""
        return "is a spreadsheet and was not read; save it as CSV, a sheet a file"
    ending = low.strip("~").rpartition(".")[2]
    if low.startswith("~$") and (ending == "csv" or f".{ending}" in _SPREADSHEETS):
        return "shows that the file stands open in a spreadsheet; save it there and close it"
    if (low.startswith("~") or low.endswith("~")) and ending == "csv":
        return "is a copy that another program keeps; it was not read, and may be removed"
    return ""
