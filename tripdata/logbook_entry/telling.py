"""Cells of a trip's files as a person is told of them."""

from ..names import shown
from ..units import SIGNS

TOLD_SEVERITIES = {
    "nuisance": "a nuisance",
    "impaired": "worked badly",
    "lost_use": "could no longer be used",
    "unsafe": "unsafe",
}
"""How bad a failure was, in words."""
_BREAK = " \u23ce "


def told(column: str, text: str, unit: str, full: bool) -> str:
    """What a cell says, with its unit; ``full``: what is not said of use counts as not used."""
    if column == "used":
        silent = "stayed packed" if full else "not said"
        known = {"": silent, "no": "stayed packed", "0": "stayed packed", "yes": "used"}
        return known.get(text.casefold(), f"used {text} times" if text.isdecimal() else text)
    if column == "plan":
        return "a plan" if text else "no longer a plan"
    if column == "severity":
        return TOLD_SEVERITIES.get(text, text)
    text = _BREAK.join(text.splitlines())
    return f"{text} {SIGNS.get(unit, unit)}".strip() or "blank" if text else "blank"


def told_change(column: str, now: str, was: str) -> str:
    """A cell that is changed, both as `told` has them."""
    if column == "plan":
        return now
    if column == "used":
        return f"{now} (was: {was})"
    return f"{column} {now} (was {was})"


def told_new(column: str, text: str) -> str:
    """A cell of a new row, as `told` has it; "" where it goes without saying."""
    if column == "quantity" and text == "1":
        return ""
    if column == "item":
        return shown(text)
    if column in ("day", "used", "severity", "plan"):
        return text
    return f"{column} {text}"
