"""Numbers, dates and vocabulary in plain English words, in the units a person reads."""

import math
import numbers
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal

from ...tripdata.units import F_PER_C, FREEZING_F, FT_M, IN_MM, LB_G, MI_KM, OZ_G
from .rounding import as_shown

MINUS = "\u2212"
SPACE = "\u202f"  # narrow no-break space: number and unit stay together
DASH = "\u2013"
NOT_KNOWN = "not known"
_NOISE = 6
"""Decimals of the last digit shown at which what float products leave behind counts for nothing."""

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_LABELS = {
    "ebike": "E-bike",
    "logger_part": "Logger, part of the night",
}


@dataclass(frozen=True)
class Display:
    """The units that a person reads."""

    mass: Literal["g", "oz"] = "g"
    temperature: Literal["c", "f"] = "c"
    distance: Literal["km", "mi"] = "km"

    @classmethod
    def of(cls, settings: Mapping[str, str]) -> "Display":
        """Return the units that the store's settings name (display.mass and so on)."""
        return cls(
            mass="oz" if settings.get("display.mass") == "oz" else "g",
            temperature="f" if settings.get("display.temperature") == "f" else "c",
            distance="mi" if settings.get("display.distance") == "mi" else "km",
        )


def is_missing(value: Any) -> bool:
    """Tell whether a value is absent: None, pandas' NA and NaT, or a number that is not finite."""
    if value is None or type(value).__name__ in ("NAType", "NaTType"):
        return True
    return isinstance(value, numbers.Real) and not math.isfinite(value)


def number(value: Any, decimals: int = 0, *, signed: bool = False) -> str:
    """Return a number with a true minus sign; thousands are set apart from 10 000 on."""
    if is_missing(value):
        return DASH
    text = f"{as_shown(value, decimals):{'+' if signed else ''},.{decimals}f}"
    if not text.strip("+-0.,"):
        text = text.lstrip("+-")
    digits = text.lstrip("+-").split(".")[0]
    text = text.replace(",", SPACE if len(digits) > 5 else "")
    return text.replace("-", MINUS)


_HALF_MG_G = 0.000501
"""What is typed in another unit is stored to the milligram: it is off by half of one at most."""


@dataclass(frozen=True)
class Scale:
    """One unit on display: shown = SI value * factor + offset, with so many decimals."""

    unit: str
    factor: float = 1.0
    offset: float = 0.0
    decimals: int = 0

    def value(self, si: Any) -> float | None:
        """Return the value in this unit, unrounded, for charts; None where it is missing."""
        return None if is_missing(si) else float(si) * self.factor + self.offset

    def difference(self, here: float, there: float) -> float:
        """How much more the one is than the other, in SI units, both rounded as they are shown."""
        return self.rounded(here) - self.rounded(there)

    def rounded(self, si: float) -> float:
        """The SI value that is exactly what is shown of it, for sums of what is shown."""
        return float(as_shown(si * self.factor, self.decimals)) / self.factor

    def text_up(self, si: float) -> str:
        """Number and unit, rounded up: of what is told to be taken, never less than it is."""
        step = 10**self.decimals
        up = math.ceil(round((self.value(si) or 0.0) * step, _NOISE)) / step
        return f"{number(up, self.decimals)}{SPACE}{self.unit}"

    def number(self, si: Any, *, signed: bool = False) -> str:
        """Return the number without its unit, for tables; an en dash where it is missing."""
        return number(self.value(si), self.decimals, signed=signed)

    def text(self, si: Any, *, signed: bool = False) -> str:
        """Return number and unit, or "not known"."""
        if is_missing(si):
            return NOT_KNOWN
        return f"{self.number(si, signed=signed)}{SPACE}{self.unit}"


def thing_mass(g: Any, display: Display) -> str:
    """Return the mass of one thing of a list: in ounces all along, so that they compare.

    Of what was weighed to a hundredth of an ounce that is shown: "19.75 oz". It is stored in whole
    milligrams, and told by them.
    """
    if display.mass == "g" or is_missing(g):
        return mass(g, display)
    scale = small_mass(display)
    typed = replace(scale, decimals=scale.decimals + 1)
    off_g = [abs(each.rounded(float(g)) - float(g)) for each in (scale, typed)]
    is_typed = off_g[0] > _HALF_MG_G >= off_g[1]
    return (typed if is_typed else scale).text(g)


def sum_mass(g: Any, display: Display, *, at_least: bool = False) -> str:
    """Return the sum of a list: in pounds all along, so that sums add up."""
    if display.mass == "g":
        return mass(g, display, at_least=at_least)
    text = large_mass(display).text(g)
    return f"at least {text}" if at_least else text


def small_mass(display: Display) -> Scale:
    """Return the scale for single items, from g."""
    return Scale("g") if display.mass == "g" else Scale("oz", 1 / OZ_G, decimals=1)


def large_mass(display: Display) -> Scale:
    """Return the scale for whole loads, from g."""
    kg = display.mass == "g"
    return Scale("kg", 1e-3, decimals=2) if kg else Scale("lb", 1 / LB_G, decimals=2)


def temperature_scale(display: Display, decimals: int = 1) -> Scale:
    """Return the scale for temperatures, from °C."""
    if display.temperature == "c":
        return Scale("°C", decimals=decimals)
    return Scale("°F", F_PER_C, FREEZING_F, decimals)


def temperature_step(display: Display, decimals: int = 1) -> Scale:
    """Return the scale for differences of temperature, from °C."""
    return replace(temperature_scale(display, decimals), offset=0.0)


def distance_scale(display: Display, decimals: int = 1) -> Scale:
    """Return the scale for distances, from km."""
    kilometres = display.distance == "km"
    return Scale("km" if kilometres else "mi", 1.0 if kilometres else 1 / MI_KM, decimals=decimals)


def height_scale(display: Display) -> Scale:
    """Return the scale for heights and climbs, from m."""
    return Scale("m") if display.distance == "km" else Scale("ft", 1 / FT_M)


def rain_scale(display: Display) -> Scale:
    """Return the scale for rain, from mm."""
    return Scale("mm", decimals=1) if display.distance == "km" else Scale("in", 1 / IN_MM, 0.0, 2)


def speed_scale(display: Display) -> Scale:
    """Return the scale for wind, from km/h."""
    return Scale("km/h") if display.distance == "km" else Scale("mph", 1 / MI_KM)


def mass(g: Any, display: Display, *, signed: bool = False, at_least: bool = False) -> str:
    """Return a mass: g or oz, from 1 kg or 1 lb on kg or lb with two decimals."""
    if is_missing(g):
        return NOT_KNOWN
    small = small_mass(display)
    shown = as_shown(abs(float(g)) * small.factor, small.decimals)
    large = shown >= (1000 if display.mass == "g" else 16)
    scale = large_mass(display) if large else small
    if not large and display.mass == "g" and shown < 10 and float(g) != round(float(g)):
        scale = Scale("g", decimals=1)
    text = scale.text(g, signed=signed)
    return f"at least {text}" if at_least else text


def mass_up(g: float, display: Display) -> str:
    """Return a mass as `mass` does, rounded up: what is told to be taken is never less than g."""
    for scale in (small_mass(display), large_mass(display)):
        step = 10**scale.decimals
        up = math.ceil(round(g * scale.factor * step, _NOISE)) / step
        if scale.unit in ("kg", "lb") or up < (1000 if display.mass == "g" else 16):
            break
    return scale.text_up(g)


def mass_apart(one_g: float, other_g: float, display: Display) -> str:
    """How far two masses are apart: from 1 kg or 1 lb on the difference of what is shown."""
    scale, apart = large_mass(display), abs(one_g - other_g)
    if apart * scale.factor >= 1:
        return scale.text(abs(scale.difference(one_g, other_g)))
    return mass(apart, display)


def temperature(c: Any, display: Display, decimals: int = 0) -> str:
    """Return a temperature, from °C."""
    return temperature_scale(display, decimals).text(c)


def degrees(c: Any, display: Display) -> str:
    """Return a temperature, from °C, with a decimal only where it has one."""
    shown = temperature_scale(display).value(c)
    whole = shown is not None and abs(shown - round(shown)) < 0.05
    return temperature(c, display, 0 if whole else 1)


def own_limit(c: Any, display: Display) -> str:
    """Return an own limit, from °C: to a tenth on every page, so that none is rounded to cold."""
    return temperature_scale(display).text(c)


def temperature_difference(c: Any, display: Display, *, signed: bool = False) -> str:
    """Return a difference of temperature with one decimal, from °C."""
    return temperature_step(display).text(c, signed=signed)


def distance(km: Any, display: Display) -> str:
    """Return a distance, from km; one decimal below 100."""
    scale = distance_scale(display)
    shown = scale.value(km)
    return distance_scale(display, 0 if shown is not None and shown >= 99.95 else 1).text(km)


def height(m: Any, display: Display) -> str:
    """Return a height or climb, from m."""
    return height_scale(display).text(m)


def count(n: Any, noun: str, plural: str | None = None) -> str:
    """Return "1 night", "3 nights" or "no nights"."""
    many = plural if plural is not None else f"{noun}s"
    if is_missing(n):
        return f"an unknown number of {many}"
    if n == 0:
        return f"no {many}"
    return f"{number(n)} {noun if n == 1 else many}"


def day(when: Any, *, weekday: bool = True, year: bool = True) -> str:
    """Return "Fri 1 May 2026", with or without its weekday and year."""
    if is_missing(when):
        return NOT_KNOWN
    text = f"{when.day} {MONTHS[when.month - 1]}"
    text = f"{_WEEKDAYS[when.weekday()]} {text}" if weekday else text
    return f"{text} {when.year}" if year else text


def months(chosen: Collection[int]) -> str:
    """Months in words, runs of them drawn together, across the turn of the year as well."""
    if len(chosen) == 12:
        return "all months"
    runs = []
    for first in sorted(m for m in chosen if (m - 2) % 12 + 1 not in chosen):
        last = first
        while last % 12 + 1 in chosen:
            last = last % 12 + 1
        span = MONTHS[first - 1] if first == last else f"{MONTHS[first - 1]} to {MONTHS[last - 1]}"
        runs.append(span)
    return listing(runs)


def days(start: date, end: date) -> str:
    """Return a span of days: "1–3 May 2026", "30 April – 2 May 2026"."""
    if start == end:
        return day(start, weekday=False)
    if (start.year, start.month) == (end.year, end.month):
        return f"{start.day}{DASH}{day(end, weekday=False)}"
    first = day(start, weekday=False, year=start.year != end.year)
    return f"{first} {DASH} {day(end, weekday=False)}"


def one_in(chance: Any) -> str:
    """Return a chance in words: "about 1 in 7", "about 6 in 10", "rarer than 1 in 1000"."""
    if is_missing(chance):
        return NOT_KNOWN
    if not 0 <= chance <= 1:
        raise ValueError(f"chance: expected 0 to 1, got {chance}")
    if chance < 0.001:
        return "rarer than 1 in 1000"
    if chance > 0.95:
        return "almost certain"
    if chance > 0.55:
        return f"about {min(9, round(chance * 10))} in 10"
    once = 1 / chance
    places = 0 if once < 20 else -1 if once < 200 else -2
    return f"about 1 in {round(once, places):.0f}"


def wanted(expected: float, things: int) -> str:
    """Return the price of leaving things at home: "you would want one of them once in 9 trips".

    ``expected``: how often one of them is expected to be missed, per trip. The one wording of it
    on every page; never "nothing".
    """
    whom = "you would want it" if things == 1 else "you would want one of them"
    if expected < 0.001:
        return f"{whom} less than once in 1000 trips"
    if expected < 0.01:
        return f"{whom} about once in {number(round(1 / expected, -1))} trips"
    if expected < 2 / 3:
        return f"{whom} about once in {number(round(1 / expected))} trips"
    if expected < 1.3:
        return f"{whom} about once on every trip"
    return f"{whom} about {number(expected, 1)} times on every trip"


def percent(share: Any) -> str:
    """Return a share of 1 as a whole percentage."""
    return NOT_KNOWN if is_missing(share) else f"{number(float(share) * 100)}{SPACE}%"


def listing(words: Sequence[str], *, at_most: int | None = None, last: str = "and") -> str:
    """Return "a", "a and b", "a, b and c"; what is beyond at_most is counted: "a, b and 4 more"."""
    shown = list(words)
    if at_most is not None and len(shown) > at_most:
        shown = [*shown[:at_most], f"{len(words) - at_most} more"]
    if len(shown) < 2:
        return "".join(shown)
    return f"{', '.join(shown[:-1])} {last} {shown[-1]}"


def quoted(names: Sequence[str], *, at_most: int | None = None, last: str = "and") -> str:
    """Return names in quotation marks, as `listing` has them: a name may hold a comma."""
    shown = [f"\u201c{name}\u201d" for name in names]
    return listing(shown, at_most=at_most, last=last)


def label(word: Any) -> str:
    """Return a word of the vocabulary as people write it: first_aid is "First aid"."""
    if is_missing(word) or word == "":
        return DASH
    if word in _LABELS:
        return _LABELS[word]
    text = str(word).replace("_", " ").strip()
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Return text with a capital at its start and a full stop at its end."""
    body = text.strip()
    closed = body if body.endswith((".", "!", "?", ":")) else f"{body}."
    return closed[:1].upper() + closed[1:]


def money(amount: float, currency: str | None, decimals: int | None = None) -> str:
    """An amount in its currency as given: 300 USD, 3.33 USD."""
    places = decimals if decimals is not None else 0 if amount == round(amount) else 2
    figure = number(amount, places)
    return f"{figure} {currency}" if currency else figure
