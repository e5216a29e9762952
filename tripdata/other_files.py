"""What is said of files beside those of a logbook: spreadsheets, copies, what programs keep."""

import re
from collections.abc import Mapping

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


def about_other(name: str, beside: Mapping[str, int]) -> str:
    """What is to be done with a file that is not read; empty where nothing is to be said.

    ``beside`` are the files in its folder, their names in small letters, and when each was changed.
    A spreadsheet of which a CSV file was saved since is its owner's own affair.
    """
    low = name.lower()
    if stem := spreadsheet_of(name):
        saved = beside.get(f"{stem}.csv")
        if saved is None:
            return "is a spreadsheet and was not read; save it as CSV, one file per sheet"
        if saved >= beside.get(low, 0):
            return ""
        return f"is a spreadsheet and was not read; {stem}.csv is older: save it as CSV again"
    ending = low.strip("~").rpartition(".")[2]
    if low.startswith("~$") and (ending == "csv" or f".{ending}" in _SPREADSHEETS):
        return "shows that the file is open in a spreadsheet; save it there and close it"
    if (low.startswith("~") or low.endswith("~")) and ending == "csv":
        return "is a copy that another program keeps; it was not read, and you can remove it"
    return ""
