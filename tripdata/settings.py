"""The optional settings file `tarebook.toml`, read by the table of settings in `settings.csv`.

There each setting stands once: section, key, kind, range, default, whether the store keeps it for
reports, how the blank file shows it (`example`, `hint`) and what it means. What is read, the words
of its faults, what is stored, the blank file and the reference are drawn from it.
"""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Any

from .contract import SYSTEMS
from .moments import good_time_format, time_zone
from .names import guess, normalised, shown
from .own_files import own_rows
from .units import LB_G, OZ_G

SETTINGS_FILE = "tarebook.toml"
_ANY_SYSTEM = "SYSTEM"
"""Stands in the table for one setting for each system."""
_ANY_BAG = "BAG"
"""Stands in the table for whatever names its owner gives to bags."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting.

    ``kind``: choice, number, whole, text, zone (an IANA name of a time zone) or time (a strptime
    format of a day and a time of day).
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
            "number": f"a number from {self.low:g} to {self.high:g}",
            "whole": f"a whole number from {self.low:g} to {self.high:g}",
            "text": "some text",
            "zone": "the IANA name of a time zone, such as Europe/Lisbon",
            "time": "a time format with day and time, such as %d.%m.%Y %H:%M",
        }[self.kind]

    def read(self, value: object) -> Any:
        """The value that a TOML value gives, None where it is none that the setting may hold."""
        if isinstance(value, str):
            good = (
                (self.kind == "choice" and value in self.choices)
                or (self.kind == "text" and value.strip())
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
        return value if self.kind == "whole" and isinstance(value, int) else None


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
class Logger:
    """How the owner's thermometer writes its files: the section `logger`.

    ``time`` and ``temperature`` are column names as the device writes them.
    """

    time: str
    temperature: str
    unit: str = _default("logger", "unit")
    format: str = _default("logger", "format")
    skip_lines: int = _default("logger", "skip_lines")


@dataclass(frozen=True, slots=True)
class Settings:
    """What `tarebook.toml` says, each value under its key.

    ``regret`` is by system, ``limits`` by name of a bag as typed, bike or boat, in g.

    ``faults`` are warnings about the file itself, in words.
    """

    mass: str = _default("display", "mass")
    temperature: str = _default("display", "temperature")
    distance: str = _default("display", "distance")
    body_kg: float | None = _default("person", "body_kg")
    bike_kg: float | None = _default("person", "bike_kg")
    base_weight_g: float | None = _default("goals", "base_weight_g")
    regret: Mapping[str, float] = field(default_factory=dict)
    limits: Mapping[str, float] = field(default_factory=dict)
    dates: str = _default("reading", "dates")
    timezone: str = _default("reading", "timezone")
    logger: Logger | None = None
    faults: tuple[str, ...] = ()

    def stored(self) -> dict[str, str]:
        """The settings that reports need, as text by section and key, for the store."""
        texts: dict[str, str] = {}
        for (section, key), setting in SETTINGS.items():
            if key == _ANY_BAG:
                texts |= {f"{section}.{name}": repr(g) for name, g in self.limits.items()}
            elif setting.stored:
                value = self.regret.get(key) if section == "regret" else getattr(self, key)
                if value is not None:
                    texts[f"{section}.{key}"] = value if isinstance(value, str) else repr(value)
        return texts


def _good_values(data: dict[str, Any], faults: list[str]) -> dict[str, dict[str, Any]]:
    """The values of each section that its settings may hold; what is wrong joins ``faults``."""
    values: dict[str, dict[str, Any]] = {section: {} for section in SECTIONS}
    for section, content in data.items():
        known = SECTIONS.get(normalised(section))
        if known is None or not isinstance(content, dict):
            faults.append(_no_section(section, content))
            continue
        for key, value in content.items():
            named = _ANY_BAG in known and normalised(key)
            setting = known[_ANY_BAG] if named else known.get(normalised(key))
            if setting is None:
                faults.append(_unknown(f"[{section}] {key}", key, known))
                continue
            good = setting.read(value)
            if good is None:
                expected = f"expected {setting.expected}, got {_given(value)}"
                faults.append(f"[{section}] {key}: {expected}")
            else:
                values[setting.section][key.strip() if named else setting.key] = good
    return values


def _into_metric(values: dict[str, dict[str, Any]], faults: list[str]) -> None:
    """Put what is said in pounds or ounces under the setting that it says; in grams it counts."""
    for (section, key), (target, factor) in IN_POUNDS.items():
        value = values[section].pop(key, None)
        if value is not None and target in values[section]:
            faults.append(
                f"[{section}] {key}: is given in another unit, too, which counts; keep one"
            )
        elif value is not None:
            values[section][target] = value * factor


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
        return f"{name}: stands outside every section; put it under [{home}]"
    return _unknown(f"[{name}]" if isinstance(content, dict) else name, name, SECTIONS)


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    near = guess(name, known)
    return f"{what}: not a known setting{near and '; '}{near}"


def read_settings(folder: Path) -> Settings:
    """Read `tarebook.toml` of a logbook; missing file or values mean the defaults.

    Faults never stop a load: they are named in ``Settings.faults`` and the default stands.
    """
    path = folder / SETTINGS_FILE
    if not path.is_file():
        return Settings()
    try:
        data = tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        return Settings(faults=(f"cannot be read ({error}); the defaults are used",))
    faults: list[str] = []
    values = _good_values(data, faults)
    _into_metric(values, faults)
    device, regret, limits = (values.pop(name) for name in ("logger", "regret", "limits"))
    logger = Logger(**device) if {"time", "temperature"} <= device.keys() else None
    if logger is None and "logger" in data:
        faults.append("[logger]: expected both time and temperature, the thermometer's columns")
    plain = {key: value for section in values.values() for key, value in section.items()}
    return Settings(**plain, regret=regret, limits=limits, logger=logger, faults=tuple(faults))
