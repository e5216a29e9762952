"""The optional settings file `tarebook.toml`."""

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .contract import SYSTEMS
from .moments import DATE_FORMS, good_time_format
from .names import nearest, normalised, shown

FILE = "tarebook.toml"


@dataclass(frozen=True, slots=True)
class Logger:
    """How the owner's thermometer writes its files.

    ``time`` and ``temperature`` are column names as the device writes them; ``unit`` is c or f;
    ``format`` a strptime format for the time; ``skip_lines`` lines stand before the header.
    """

    time: str
    temperature: str
    unit: str = "c"
    format: str = ""
    skip_lines: int = 0


@dataclass(frozen=True, slots=True)
class Settings:
    """What `tarebook.toml` says; every field has a default.

    ``faults`` are warnings about the file itself, in words. Masses in g and kg.
    """

    mass: str = "g"
    temperature: str = "c"
    distance: str = "km"
    body_kg: float | None = None
    bike_kg: float | None = None
    base_weight_goal_g: float | None = None
    regret: dict[str, float] = field(default_factory=dict)
    dates: str = ""
    logger: Logger | None = None
    faults: tuple[str, ...] = ()

    def stored(self) -> dict[str, str]:
        """The settings that reports need, as text by key, for the store."""
        flat = {
            "display.mass": self.mass,
            "display.temperature": self.temperature,
            "display.distance": self.distance,
        }
        numbers = {
            "person.body_kg": self.body_kg,
            "person.bike_kg": self.bike_kg,
            "goals.base_weight_g": self.base_weight_goal_g,
        }
        flat |= {k: repr(v) for k, v in numbers.items() if v is not None}
        return flat | {f"regret.{k}": repr(v) for k, v in self.regret.items()}


@dataclass(frozen=True, slots=True)
class _Kind:
    """What a setting may hold: how it is read (None where it may not), and what is expected."""

    read: Callable[[Any], Any]
    expected: str


def _one_of(*words: str) -> _Kind:
    def read(value: Any) -> str | None:
        return value if isinstance(value, str) and value in words else None

    return _Kind(read, " or ".join(f'"{w}"' for w in words))


def _number(low: float, high: float) -> _Kind:
    def read(value: Any) -> float | None:
        good = isinstance(value, (int, float)) and not isinstance(value, bool)
        return float(value) if good and low <= value <= high else None

    return _Kind(read, f"a number from {low:g} to {high:g}")


def _text(value: Any) -> str | None:
    return value if isinstance(value, str) and value.strip() else None


def _time_format(value: Any) -> str | None:
    return value if isinstance(value, str) and good_time_format(value) else None


def _lines(value: Any) -> int | None:
    good = isinstance(value, int) and not isinstance(value, bool)
    return value if good and 0 <= value <= 1000 else None


_TEXT = _Kind(_text, "some text")
_KEYS: dict[str, dict[str, _Kind]] = {
    "display": {
        "mass": _one_of("g", "oz"),
        "temperature": _one_of("c", "f"),
        "distance": _one_of("km", "mi"),
    },
    "person": {"body_kg": _number(20, 300), "bike_kg": _number(1, 100)},
    "goals": {"base_weight_g": _number(1, 100_000)},
    "regret": {system: _number(0, 10) for system in SYSTEMS},
    "reading": {"dates": _one_of(*DATE_FORMS)},
    "logger": {
        "time": _TEXT,
        "temperature": _TEXT,
        "unit": _one_of("c", "f"),
        "format": _Kind(_time_format, "a time format with day and time, such as %d.%m.%Y %H:%M"),
        "skip_lines": _Kind(_lines, "a whole number from 0 to 1000"),
    },
}


def _values(data: dict[str, Any], faults: list[str]) -> dict[tuple[str, str], Any]:
    found: dict[tuple[str, str], Any] = {}
    for section, content in data.items():
        name = normalised(section)
        if name not in _KEYS or not isinstance(content, dict):
            faults.append(_no_section(section, content))
            continue
        for key, value in content.items():
            kind = _KEYS[name].get(normalised(key))
            if kind is None:
                faults.append(_unknown(f"[{section}] {key}", key, _KEYS[name]))
                continue
            good = kind.read(value)
            if good is None:
                expected = f"expected {kind.expected}, got {shown(str(value))}"
                faults.append(f"[{section}] {key}: {expected}")
            else:
                found[name, normalised(key)] = good
    return found


def _no_section(name: str, content: Any) -> str:
    if normalised(name) in _KEYS:
        return f"{name}: expected a section, [{normalised(name)}]"
    home = next((s for s, keys in _KEYS.items() if normalised(name) in keys), "")
    if home and not isinstance(content, dict):
        return f"{name}: stands outside every section; put it under [{home}]"
    return _unknown(f"[{name}]" if isinstance(content, dict) else name, name, _KEYS)


def _unknown(what: str, name: str, known: dict[str, Any]) -> str:
    near = nearest(name, known)
    return f"{what}: not a known setting" + (f'; did you mean "{near}"?' if near else "")


def read_settings(folder: Path) -> Settings:
    """Read `tarebook.toml` of a logbook; missing file or values mean the defaults.

    Faults never stop a load: they are named in ``Settings.faults`` and the default stands.
    """
    path = folder / FILE
    if not path.is_file():
        return Settings()
    try:
        data = tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        return Settings(faults=(f"cannot be read ({error}); the defaults are used",))
    faults: list[str] = []
    found = _values(data, faults)
    logger = None
    if ("logger", "time") in found and ("logger", "temperature") in found:
        logger = Logger(**{k: v for (s, k), v in found.items() if s == "logger"})
    elif "logger" in data:
        faults.append("[logger]: expected both time and temperature, the thermometer's columns")
    display = {k: v for (s, k), v in found.items() if s == "display"}
    return Settings(
        **display,
        body_kg=found.get(("person", "body_kg")),
        bike_kg=found.get(("person", "bike_kg")),
        base_weight_goal_g=found.get(("goals", "base_weight_g")),
        regret={k: v for (s, k), v in found.items() if s == "regret"},
        dates=found.get(("reading", "dates"), ""),
        logger=logger,
        faults=tuple(faults),
    )
