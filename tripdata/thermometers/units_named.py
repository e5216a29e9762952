"""Which unit of temperature a text of a thermometer's file names."""

import re

from ..names import normalised
from ..units import SIGNS

_WORDS = {
    "c": re.compile(r"c|\w*cel[sc]ius\w*|centigrade|(deg|degree|degrees|grad|temp|temperature|t)c"),
    "f": re.compile(r"f|\w*fah?renh\w*|fahr|(deg|degree|degrees|grad|temp|temperature|t)f"),
    "k": re.compile(r"\w*kelvin\w*|degk"),
}
_SIGN = re.compile(
    r"[°º˚]\s*([CFK])(?![A-Za-z])|\b(celsius|centigrade|fahrenheit|kelvin)\b"
    r"|\bdeg(?:rees?|\.)?[\s_]*([CFK])\b|(?:units?|scale)\b[^A-Za-z0-9]{1,5}([CFK])\b"
    r"|\btemp[a-z]*\s?[(\[]([CFK])[)\]]",
    re.IGNORECASE,
)
_SIGNS = SIGNS | {"k": "K"}


def spaced(text: str) -> str:
    """Text in which a degree sign of any make is a blank and no letter joins the unit's."""
    text = text.replace("\u2109", " f ").replace("\u2103", " c ").replace("ï¿½", " ")
    return re.sub("[°º˚\ufffd]", " ", text)


def named_units(text: str) -> set[str]:
    """The units (c, f, k) that a header or a cell of units names, a bare letter included."""
    words = set(normalised(spaced(text)).split("_"))
    units = {unit for unit, form in _WORDS.items() if any(form.fullmatch(w) for w in words)}
    return units | ({"k"} if re.search(r"[°º˚]\s*K\b|[(\[]\s*K\s*[)\]]", text) else set())


def signed_units(text: str) -> set[str]:
    """The units that a text names beyond doubt: with a degree sign or in full, no bare letter."""
    text = text.replace("\u2109", "°F ").replace("\u2103", "°C ")
    return {next(filter(None, m.groups()))[0].lower() for m in _SIGN.finditer(text)}


def unit_cell(text: str) -> bool:
    """Whether a cell holds a unit of temperature and nothing else."""
    words = [w for w in normalised(spaced(text)).split("_") if w not in ("deg", "degrees")]
    return len(words) == 1 and any(form.fullmatch(words[0]) for form in _WORDS.values())


def other_unit(text: str, unit: str, title: str) -> str:
    """What is wrong where a header or a cell of units names another unit than the setting c or f.

    Empty where it names that one, none or both. ``title`` is what the setting's table is called.
    """
    return _other(named_units(text), unit, title)


def other_unit_beside(text: str, unit: str, title: str) -> str:
    """The same of a text beside the column, where only what is beyond doubt counts."""
    return _other(signed_units(text), unit, title)


def _other(named: set[str], unit: str, title: str) -> str:
    if not named or unit in named:
        return ""
    other = min(named)
    correct = f'correct the setting to unit = "{other}", or ' if other in ("c", "f") else ""
    return (
        f'names {_SIGNS[other]}, but {title} in tarebook.toml says unit = "{unit}"; {correct}'
        "move the file out of the logbook"
    )
