"""How the columns that a setting names are matched with the header of a thermometer's file."""

import re
from collections.abc import Sequence

from ..names import normalised
from .logger import ColumnName
from .units_named import named_units

_CHANGING = re.compile(
    r"[\s,;:(\[#/-]*(?:"
    r"\b(?:GMT|UTC)\b.*"
    r"|\b(?:LGR|SEN|S/?N|serial|ser|ID|no|nr)\b\W.*\d.*"
    r"|[#(\[]\s*[A-Za-z-]*\d{3,}.*"
    r"|[+-]\d{2}:?\d{2}\b.*"
    r")$",
    re.IGNORECASE,
)
_LONGEST = 500


def stem(header: str) -> str:
    """A header without the serial number or the offset that it carries at its end."""
    cut = _CHANGING.search(header[:_LONGEST])
    return header[: cut.start()].strip() if cut and cut.start() else header.strip()


def _begins(wanted: str, cell: str) -> bool:
    """Whether a header is the wanted one but for a serial number, an offset or a unit behind it."""
    own, its = normalised(wanted), normalised(cell[:_LONGEST])
    if own and its.startswith(own + "_"):
        rest = its[len(own) + 1 :]
        more = [w for w in rest.split("_") if not named_units(w) and w not in ("gmt", "utc", "deg")]
        return not more or any(c.isdigit() for c in rest)
    cut = normalised(stem(wanted))
    return bool(cut) and cut in (its, normalised(stem(cell))) and cut != own


def positions(wanted: ColumnName, cells: Sequence[str]) -> list[int]:
    """Where a column may stand, counted from 0: by number, by name, else by how it begins."""
    if isinstance(wanted, int):
        return [wanted - 1] if wanted <= len(cells) else []
    own = normalised(wanted)
    exact = [n for n, cell in enumerate(cells) if cell.strip() and normalised(cell) == own]
    return exact or [n for n, cell in enumerate(cells) if _begins(wanted, cell)]
