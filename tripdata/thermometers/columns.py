"""How the columns that a setting names are matched with the header of a thermometer's file."""

import re
from collections.abc import Sequence

from ..names import normalised
from .logger import ColumnName
from .units_named import named_units, spaced

_CHANGING = re.compile(
    r"[\s,;:(\[#/-]*(?:"
    r"\b(?:GMT|UTC)\b.*"
    r"|\b(?:LGR|SEN|S/?N|serial|ser|ID|no|nr)\b\W.*\d.*"
    r"|[#(\[]\s*[A-Za-z-]*\d{3,}.*"
    r"|[+-]\d{2}:?\d{2}\b.*"
    r")$",
    re.IGNORECASE,
)
_CLOCKS = {"gmt", "utc"}
_MARKERS = _CLOCKS | {"lgr", "sen", "s", "n", "sn", "ser", "serial", "no", "nr", "id", "sensor"}
_SERIAL_DIGITS = 4
_LONGEST = 500


def stem(header: str) -> str:
    """A header without the serial number or the offset that it carries at its end."""
    cut = _CHANGING.search(header[:_LONGEST])
    return header[: cut.start()].strip() if cut and cut.start() else header.strip()


def _begins(wanted: str, cell: str) -> bool:
    """Whether a header is the wanted one but for a serial number, an offset or a unit behind it."""
    own, its = normalised(spaced(wanted)), normalised(spaced(cell[:_LONGEST]))
    if own and its.startswith(own + "_"):
        return _only_changing(its[len(own) + 1 :].split("_"), own.split("_"))
    cut = normalised(spaced(stem(wanted)))
    return bool(cut) and cut in (its, normalised(spaced(stem(cell)))) and cut != own


def _only_changing(words: Sequence[str], before: Sequence[str]) -> bool:
    """Whether words are a unit, a serial number or an offset and nothing else, as "max 24h" is.

    ``before`` are those of the wanted header, the last of which may say what follows.
    """
    marked = not _MARKERS.isdisjoint([*before[-1:], *words])
    return all(
        word in _MARKERS
        or word == "deg"
        or named_units(word)
        or (any(c.isdigit() for c in word) and (marked or len(word) >= _SERIAL_DIGITS))
        for word in words
    )


def positions(wanted: ColumnName, cells: Sequence[str]) -> list[int]:
    """Where a column may stand, counted from 0: by number, by name, else by how it begins."""
    if isinstance(wanted, int):
        return [wanted - 1] if wanted <= len(cells) else []
    own = normalised(wanted)
    exact = [n for n, cell in enumerate(cells) if cell.strip() and normalised(cell) == own]
    return exact or [n for n, cell in enumerate(cells) if _begins(wanted, cell)]
