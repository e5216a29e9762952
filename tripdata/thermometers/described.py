"""The tables `[[logger]]` of `tarebook.toml`, any number of them; `[logger]` is the same as one."""

import re
from collections.abc import Callable, Iterable
from typing import Any

from ..names import normalised
from .logger import Logger

REPEATED = "logger"
"""The section that may stand any number of times."""
ReadTable = Callable[[str, dict[str, Any], list[str]], dict[str, Any]]
"""From the title of a table and its content to its good values; what is wrong joins the list."""
_LOGGER_LINE = re.compile(r"^\s*(\[{1,2})\s*logger\s*\]", re.MULTILINE)
_BRACKETS = "; where there are several thermometers, write [[logger]] for each, also for the first"


def bracket_advice(text: str) -> str:
    """What to do where `[logger]` and `[[logger]]` stand in one file, which is then no TOML."""
    return _BRACKETS if {"[", "[["} <= set(_LOGGER_LINE.findall(text)) else ""


def loggers_of(data: dict[str, Any], read: ReadTable, faults: list[str]) -> tuple[Logger, ...]:
    """The thermometers, taken out of ``data``; ``read`` gives the good values of a table.

    One in which something is wrong is left out whole: with a default in the place of what was
    meant, a temperature could be read in the wrong unit.
    """
    keys = [key for key in data if normalised(key) == REPEATED]
    given = [data.pop(key) for key in keys]
    tables = [one for each in given for one in (each if isinstance(each, list) else [each])]
    listed = any(isinstance(each, list) for each in given)
    loggers = []
    for number, content in enumerate(tables, 1):
        title = f"[[{REPEATED}]]" if listed else f"[{REPEATED}]"
        title += f" {number}" if len(tables) > 1 else ""
        if not isinstance(content, dict):
            faults.append(f"{REPEATED}: expected a section, [[{REPEATED}]]")
            continue
        wrong = len(faults)
        values = read(title, content, faults)
        faults += [f"{title}: {fault}" for fault in _incomplete(values)]
        if len(faults) == wrong:
            loggers.append(Logger(**values, title=title))
        else:
            faults.append(f"{title}: it is not used until that is corrected")
    return tuple(loggers)


def _incomplete(values: dict[str, Any]) -> Iterable[str]:
    """What does not go together in the description of a thermometer."""
    columns = [values[key] for key in ("date", "time", "temperature") if key in values]
    if not {"time", "temperature"} <= values.keys():
        yield "expected both time and temperature, the thermometer's columns"
    elif len(set(columns)) < len(columns):
        yield "expected another column for each of date, time and temperature"
    elif values.get("header") is False and not all(isinstance(each, int) for each in columns):
        yield "expected columns by number, as temperature = 2, since header = false"
