"""What a day and its trip were like: how easy, and when, as columns of the comfort model.

Comforts come along on easy trips and are bought over the years, so that ease and time look like
their gain unless they stand beside it. A day has its own part and its trip's: where ease is a
matter of the whole trip, the mean of the trip's days shows it better than any one of them.

What is not known of a day is taken from the trip's other days, else from all; a column that is
known of no day, or never differs, is none. How many trips like that there are is counted
(`Ease.blank`): what is not written down cannot be allowed for.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from tarebook.analysis.comfort_grid import Array, Flags

MILDER_STEP_C = 5.0
"""What one unit of warmth is, in degrees Celsius over the rating."""
DRIFT_SD = 0.15
"""Of the drift of scores, beforehand, in points a year."""
SLOPE_SD = 0.5
_TRIP = (0.3, 0.0)
_LOAD = (0.3, 1.0)
_DAYS_A_YEAR = 365.25
_MOST_RATIO = 2.0

Day = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Covariate:
    """One thing the days were like: its name, and on how many of the days it is known."""

    name: str
    known: int


@dataclass(frozen=True, slots=True, eq=False)
class Ease:
    """Columns (n, q), their prior spreads and their multiples of the trips' spread (q each)."""

    covariates: tuple[Covariate, ...]
    table: Array
    slope_sds: Array
    of_trips: Array


def ease_of(aspect: str, days: Sequence[Day], along: Array, comforts: Flags) -> Ease:
    """How easy the days of an aspect were, and when.

    ``along`` (n, p) and ``comforts`` (p) tell how many comforts came along on each.
    """
    found = _Columns([day["trip"] for day in days])
    for name, of_day in _facts(aspect, days).items():
        found.fact(name, [of_day(day) for day in days])
    found.trip("nights", [float(np.log2(1 + day["nights"])) for day in days])
    modes = [day["mode"] for day in days]
    known = sorted({m for m in modes if m}, key=lambda m: (-modes.count(m), m))
    for mode in known[1:] if len(known) > 1 else ():
        found.plain(f"mode {mode}", [None if m is None else float(m == mode) for m in modes], SLOPE_SD)
    if comforts.any():
        found.trip("comforts", list(along[:, comforts].sum(1)), _LOAD)
    first = min(day["day"] for day in days)
    years = [(day["day"] - first).days / _DAYS_A_YEAR for day in days]
    found.plain("later", list(years), DRIFT_SD)
    return found.ease(len(days))


def _facts(aspect: str, days: Sequence[Day]) -> dict[str, Callable[[Day], float | None]]:
    facts: dict[str, Callable[[Day], float | None]] = {}
    rated = any(_milder(day) is not None for day in days)
    facts["milder"] = _milder if aspect == "sleep" and rated else _warmer
    facts["wet"] = lambda day: None if day["wet"] is None else float(day["wet"])
    facts["farther"] = lambda day: _ratio(day["distance_km"], day["usual_km"])
    facts["higher"] = lambda day: _ratio(day["ascent_m"], day["usual_ascent_m"])
    return facts


def _milder(day: Day) -> float | None:
    low = _low(day)
    if low is None or day["rated_low_c"] is None:
        return None
    return float(low - day["rated_low_c"]) / MILDER_STEP_C


def _warmer(day: Day) -> float | None:
    low = _low(day)
    return None if low is None else float(low) / MILDER_STEP_C


def _low(day: Day) -> float | None:
    found: float | None = day["normal_low_c"] if day["low_c"] is None else day["low_c"]
    return found


def _ratio(value: float | None, usual: float | None) -> float | None:
    if value is None or not usual:
        return None
    return min(value / usual - 1, _MOST_RATIO)


class _Columns:
    """Columns as they come, each with its spreads."""

    def __init__(self, trips: Sequence[str]) -> None:
        self._trips = trips
        self._found: list[tuple[Covariate, Array, float, float]] = []

    def fact(self, name: str, values: Sequence[float | None]) -> None:
        """A column of the days, and one of the trips' means."""
        self.plain(name, values, SLOPE_SD)
        self.trip(f"{name} trip", values)

    def plain(self, name: str, values: Sequence[float | None], sd: float) -> None:
        filled = self._filled(values)
        if filled is not None:
            self._found.append((Covariate(name, _known(values)), filled, sd, 0.0))

    def trip(self, name: str, values: Sequence[float | None], spread_: Any = None) -> None:
        """The trips' means, in standard deviations."""
        filled = self._filled(values)
        if filled is None:
            return
        means = self._means(filled)
        spread = float(means.std())
        if spread > 1e-9:
            self._found.append((Covariate(name, _known(values)), means / spread, *(spread_ or _TRIP)))

    def _filled(self, values: Sequence[float | None]) -> Array | None:
        known = [value for value in values if value is not None]
        if len(set(known)) < 2:
            return None
        of_trip: defaultdict[str, list[float]] = defaultdict(list)
        for trip, value in zip(self._trips, values, strict=True):
            if value is not None:
                of_trip[trip].append(value)
        means = {trip: sum(found) / len(found) for trip, found in of_trip.items()}
        usual = sum(means.values()) / len(means)
        return np.array([
            means.get(trip, usual) if value is None else value
            for trip, value in zip(self._trips, values, strict=True)
        ])  # fmt: skip

    def _means(self, values: Array) -> Array:
        number: dict[str, int] = {}
        codes = np.array([number.setdefault(trip, len(number)) for trip in self._trips])
        found: Array = (np.bincount(codes, values) / np.bincount(codes))[codes]
        return found

    def ease(self, n: int) -> Ease:
        names = tuple(covariate for covariate, *_ in self._found)
        table = np.stack([c for _, c, *_ in self._found], 1) if names else np.zeros((n, 0))
        return Ease(
            names, table, np.array([sd for *_, sd, _ in self._found]),
            np.array([multiple for *_, multiple in self._found]),
        )  # fmt: skip


def _known(values: Sequence[float | None]) -> int:
    return sum(value is not None for value in values)
