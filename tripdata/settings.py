"""The optional settings file `tarebook.toml`, read by the table of settings in `settings.csv`.

There each setting stands once: section, key, kind, range, default, whether the store keeps it for
reports, how the blank file shows it (`example`, `hint`) and what it means. What is read, the words
of its faults, what is stored, the blank file and the reference are drawn from it.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Any

from .contract import SYSTEMS
from .moments import good_time_format, time_zone
from .names import folded, guess, normalised, shown
from .own_files import own_rows
from .thermometers.described import REPEATED, bracket_advice, loggers_of
from .thermometers.logger import Logger
from .thermometers.times import offset_hours
from .toml_file import parsed
from .units import LB_G, OZ_G

SETTINGS_FILE = "tarebook.toml"
_ANY_SYSTEM = "SYSTEM"
"""Stands in the table for one setting for each system."""
ANY_BAG = "BAG"
"""Stands in the table for whatever names its owner gives to bags."""
_LIMITS_LB = "limits_lb"
VEHICLES = ("bike", "boat")
"""What may have a limit beside bags."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting.

    ``kind``: choice, number, whole, text, flag, zone (an IANA name of a time zone), time (a
    strptime format of a day and a time of day), column (a header or a number), offset (hours
    against UTC) or marks (texts or numbers).
    ``default`` stands where the setting is not made: None for no number, empty for no text.
    ``example`` is what the blank file shows, ``hint`` what it says beside that.
    """

    section: str
    key: str
    kind: str
    meaning: str
    choices: tuple[str, ...]
    low: float
    high: float
    default: str | int | None
    stored: bool
    example: str
    hint: str

    @property
    def expected(self) -> str:
        """What it may hold, in words."""
        return {
            "choice": " or ".join(f'"{word}"' for word in self.choices),
            "number": f"a number {self._unit}from {self.low:g} to {self.high:g}",
            "whole": f"a whole number from {self.low:g} to {self.high:g}",
            "text": "some text",
            "zone": "the IANA name of a time zone, such as Europe/Lisbon",
            "time": "a time format with day and time, such as %d.%m.%Y %H:%M",
            "flag": "true or false",
            "column": f"a header in quotation marks or a number from {self.low:g} to {self.high:g}",
            "offset": 'an offset from UTC such as "+02:00"',
            "marks": "a number, some text, or several of them in brackets",
        }[self.kind]

    @property
    def _unit(self) -> str:
        """ "of grams ", where the setting has its owner's name and not one that says its unit."""
        return {"limits": "of grams ", _LIMITS_LB: "of pounds "}.get(self.section, "")

    def read(self, value: object) -> Any:
        """The value that a TOML value gives, None where it is none that the setting may hold."""
        if self.kind == "flag":
            return value if isinstance(value, bool) else None
        if self.kind == "marks":
            return _marks(value)
        if self.kind == "offset":
            return _offset(value, self.low, self.high)
        if isinstance(value, str):
            good = (
                (self.kind == "choice" and value in self.choices)
                or (self.kind == "text" and value.strip())
                or (self.kind == "column" and normalised(value))
                or (self.kind == "time" and good_time_format(value))
                or (self.kind == "zone" and time_zone(value))
            )
            return value if good else None
        if isinstance(value, bool) or not isinstance(value, int | float):
            return None
        if not self.low <= value <= self.high:
            return None
        if self.kind == "number":
            return float(value)
        whole = self.kind in ("whole", "column") and isinstance(value, int)
        return value if whole else None


def _marks(value: object) -> tuple[str, ...] | None:
    """The marks that a number, a text or a list of them gives, None where it gives none."""
    each = value if isinstance(value, list) else [value]
    good = [
        str(one).strip()
        for one in each
        if isinstance(one, str | int | float) and not isinstance(one, bool)
    ]
    return tuple(good) if good and len(good) == len(each) and all(good) else None


def _offset(value: object, low: float, high: float) -> float | None:
    """Hours against UTC from a number of hours or text as +02:00."""
    hours = None
    if isinstance(value, int | float) and not isinstance(value, bool):
        hours = float(value)
    elif isinstance(value, str):
        parts = re.fullmatch(r"([+-]?)(\d{1,2})(?::?([0-5]\d))?", value.strip(), re.ASCII)
        hours = offset_hours(*parts.groups()) if parts else None
    return hours if hours is not None and low <= hours <= high else None


def _table() -> Iterable[Setting]:
    for row in own_rows(__package__, "settings.csv"):
        values: dict[str, Any] = {
            "choices": tuple(row["choices"].split()),
            "low": float(row["low"] or 0),
            "high": float(row["high"] or 0),
            "stored": row["stored"] == "yes",
        }
        if row["kind"] in ("number", "whole"):
            values["default"] = int(row["default"]) if row["default"] else None
        for key in SYSTEMS if row["key"] == _ANY_SYSTEM else (row["key"],):
            yield Setting(**row | values | {"key": key})


SETTINGS = {(setting.section, setting.key): setting for setting in _table()}
SECTIONS = {
    section: {setting.key: setting for setting in settings}
    for section, settings in groupby(SETTINGS.values(), attrgetter("section"))
}
"""The settings by key of each section."""


def section_title(section: str) -> str:
    """How a section is headed in the file."""
    return f"[[{section}]]" if section == REPEATED else f"[{section}]"


LIMITS_TWINS = {True: "limits", False: _LIMITS_LB}
"""Which of the two sections of limits a blank file leaves out, by whether it is in pounds."""
IN_POUNDS = {
    ("person", "body_lb"): ("body_kg", LB_G / 1000),
    ("person", "bike_lb"): ("bike_kg", LB_G / 1000),
    ("goals", "base_weight_lb"): ("base_weight_g", LB_G),
    ("goals", "base_weight_oz"): ("base_weight_g", OZ_G),
}
"""Settings that say another one in pounds or ounces: that one, and what one of theirs is in it."""


def _default(section: str, key: str) -> Any:
    return SETTINGS[section, key].default


@dataclass(frozen=True, slots=True)
class Settings:
    """What `tarebook.toml` says, each value under its key.

    ``regret`` is by system, ``limits`` by name of a bag as typed, bike or boat, in g; ``in_pounds``
    are the names of those that the file has in pounds. ``loggers``
    are those in which nothing is wrong, in the order of the file. ``mass_open``: the file leaves
    the unit of masses open, so that the owner's other files may say it (`by_weights`).

    ``faults`` are warnings about the file itself, in words. ``unopened``: the system did not let it
    be read.
    """

    mass: str = _default("display", "mass")
    temperature: str = _default("display", "temperature")
    distance: str = _default("display", "distance")
    title: str = _default("logbook", "title")
    body_kg: float | None = _default("person", "body_kg")
    bike_kg: float | None = _default("person", "bike_kg")
    base_weight_g: float | None = _default("goals", "base_weight_g")
    regret: Mapping[str, float] = field(default_factory=dict)
    limits: Mapping[str, float] = field(default_factory=dict)
    in_pounds: frozenset[str] = frozenset()
    dates: str = _default("reading", "dates")
    timezone: str = _default("reading", "timezone")
    loggers: tuple[Logger, ...] = ()
    faults: tuple[str, ...] = ()
    unopened: bool = False
    mass_open: bool = field(default=True, compare=False)

    def by_weights(self, units: Collection[str]) -> "Settings":
        """The same, with masses in ounces where they are left open and all weights typed are so.

        ``units``: those of the weights that the logbook's files hold (g, kg, oz, lb).
        """
        imperial = bool(units) and set(units) <= {"oz", "lb"}
        return replace(self, mass="oz") if self.mass_open and imperial else self

    def stored(self) -> dict[str, str]:
        """The settings that reports need, as text by section and key, for the store."""
        texts: dict[str, str] = {}
        for (section, key), setting in SETTINGS.items():
            if key == ANY_BAG and section != _LIMITS_LB:
                texts |= {f"{section}.{name}": repr(g) for name, g in self.limits.items()}
            elif setting.stored:
                value = self.regret.get(key) if section == "regret" else getattr(self, key)
                if value not in (None, ""):
                    texts[f"{section}.{key}"] = value if isinstance(value, str) else repr(value)
        return texts


def _good_values(data: dict[str, Any], faults: list[str]) -> dict[str, dict[str, Any]]:
    """The values of each section that its settings may hold; what is wrong joins ``faults``."""
    values: dict[str, dict[str, Any]] = {section: {} for section in SECTIONS}
    for section, content in data.items():
        name = normalised(section)
        if name not in SECTIONS or not isinstance(content, dict):
            faults.append(_no_section(section, content))
            continue
        values[name] |= _section_values(f"[{section}]", content, SECTIONS[name], faults)
    return values


def _section_values(
    title: str, content: dict[str, Any], known: dict[str, Setting], faults: list[str]
) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for key, value in content.items():
        named = ANY_BAG in known and normalised(key)
        setting = known[ANY_BAG] if named else known.get(normalised(key))
        if setting is None:
            faults.append(_unknown(f"{title} {key}", key, known))
            continue
        good = setting.read(value)
        if good is None:
            expected = f"expected {setting.expected}, got {_given(value)}"
            faults.append(f"{title} {key}: {expected}")
        else:
            values[key.strip() if named else setting.key] = good
    return values


def _logger_values(title: str, content: dict[str, Any], faults: list[str]) -> dict[str, Any]:
    return _section_values(title, content, SECTIONS[REPEATED], faults)


def _into_metric(values: dict[str, dict[str, Any]], faults: list[str]) -> None:
    """Put what is said in pounds or ounces under the setting that it says; in grams it counts."""
    for (section, key), (target, factor) in IN_POUNDS.items():
        value = values[section].pop(key, None)
        if value is not None and target in values[section]:
            faults.append(
                f"[{section}] {key}: is also given in another unit, and that one counts; keep one"
            )
        elif value is not None:
            values[section][target] = value * factor


def _limits(
    values: dict[str, dict[str, Any]], faults: list[str]
) -> tuple[dict[str, float], frozenset[str]]:
    """The limits in g by name, and which of them are in pounds; in grams a name counts."""
    limits, in_pounds = values.pop("limits"), values.pop(_LIMITS_LB)
    known = {folded(name) for name in limits}
    for name, pounds in in_pounds.items():
        if folded(name) in known:
            faults.append(
                f"[{_LIMITS_LB}] {name}: is also given in [limits], and that one counts; keep one"
            )
        else:
            limits[name] = pounds * LB_G
    return limits, frozenset(limits).intersection(in_pounds)


def idle_limits(settings: Settings, bags: Iterable[str]) -> Iterator[str]:
    """What to say of each limit that limits nothing: neither a bag of these, nor bike or boat."""
    known = [*bags, *VEHICLES]
    there = {folded(name) for name in known}
    for name in settings.limits:
        if folded(name) not in there:
            title = section_title(LIMITS_TWINS[name not in settings.in_pounds])
            near = guess(name, known)
            yield (
                f"{title} {name}: limits nothing, as no row of carried.csv has it in its column "
                f"bag{near and '; '}{near}"
            )


def _given(value: Any) -> str:
    """A value as the file has it: text alone stands in quotation marks."""
    if isinstance(value, str):
        number = re.fullmatch(r"\s*[+-]?\d+(\.\d+)?\s*", value)
        advice = "; write a number without quotation marks" if number else ""
        return f"{shown(value)}{advice}"
    return shown(str(value).lower() if isinstance(value, bool) else str(value))[1:-1]


def _no_section(name: str, content: Any) -> str:
    if normalised(name) in SECTIONS:
        return f"{name}: expected a section, [{normalised(name)}]"
    home = next((s for s, keys in SECTIONS.items() if normalised(name) in keys), "")
    if home and not isinstance(content, dict):
        return f"{name}: is outside every section; put it under [{home}]"
    return _unknown(f"[{name}]" if isinstance(content, dict) else name, name, SECTIONS)


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    near = guess(name, known)
    return f"{shown(what, 100)[1:-1]}: not a known setting{near and '; '}{near}"


def read_settings(folder: Path) -> Settings:
    """Read `tarebook.toml` of a logbook; missing file or values mean the defaults.

    Faults never stop a load: they are named in ``Settings.faults`` and the default stands.
    """
    path = folder / SETTINGS_FILE
    if not path.is_file():
        return Settings()
    try:
        content = path.read_bytes()
    except OSError as error:
        reason = f"cannot be read ({error.strerror}); the defaults are used"
        return Settings(faults=(reason,), unopened=True, mass_open=False)
    return settings_in(content)


def settings_in(content: bytes) -> Settings:
    """What the content of a `tarebook.toml` says, as `read_settings` has it."""
    data, fault, text = parsed(content)
    if data is None:
        advice = bracket_advice(text)
        reason = f"cannot be read ({fault}); the defaults are used{advice}"
        return Settings(faults=(reason,), mass_open=False)
    faults: list[str] = []
    of_loggers: list[str] = []
    loggers = loggers_of(data, _logger_values, of_loggers)
    values = _good_values(data, faults)
    _into_metric(values, faults)
    faults += of_loggers
    regret, (limits, in_pounds) = values.pop("regret"), _limits(values, faults)
    plain = {key: value for section in values.values() for key, value in section.items()}
    return Settings(
        **plain,
        regret=regret,
        limits=limits,
        in_pounds=in_pounds,
        loggers=loggers,
        faults=tuple(faults),
        mass_open=not _says_mass(data),
    )


def _says_mass(data: Mapping[str, Any]) -> bool:
    """Whether a unit of masses is named, be it one that is not known."""
    return any(
        normalised(key) == "mass"
        for section, content in data.items()
        if normalised(section) == "display" and isinstance(content, dict)
        for key in content
    )
