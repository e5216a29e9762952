"""The lines for `tarebook.toml` with which a thermometer's file can be read."""

from collections.abc import Mapping

from .logger import Logger

OPEN = "?"
"""Stands for what the file does not say; a description that holds it is not used."""


def text_value(text: str) -> str:
    """Text as a TOML string."""
    plain = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08X}" for c in plain) + '"'


def logger_lines(logger: Logger, open_ends: Mapping[str, str]) -> str:
    """The lines of a description; ``open_ends`` says, by key, what the owner has to fill in."""
    values: dict[str, str] = {}
    if logger.files:
        values["files"] = text_value(logger.files)
    for key, column in logger.columns.items():
        values[key] = str(column) if isinstance(column, int) else text_value(column)
    values["unit"] = text_value(logger.unit)
    if logger.format:
        values["format"] = text_value(logger.format)
    if logger.skip_lines:
        values["skip_lines"] = str(logger.skip_lines)
    if not logger.header:
        values["header"] = "false"
    if logger.missing:
        marks = [mark if _number(mark) else text_value(mark) for mark in logger.missing]
        values["missing"] = marks[0] if len(marks) == 1 else f"[{', '.join(marks)}]"
    lines = [f"{key} = {value}" for key, value in values.items() if key not in open_ends]
    lines += [f'{key} = "{OPEN}"  # {what}' for key, what in open_ends.items()]
    return "\n".join(["[[logger]]", *lines]) + "\n"


def _number(mark: str) -> bool:
    return mark.removeprefix("-").isdecimal() and mark.isascii()
