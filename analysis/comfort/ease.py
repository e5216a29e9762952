"""What a day and its trip were like: how easy, and when, as columns of the comfort model.

Comforts come along on easy trips and are bought over the years, so that ease and time look like
their gain unless they stand beside it. A day has its own part and its trip's: where ease is a
matter of the whole trip, the mean of the trip's days shows it better than any one of them.

What is not known of a day is taken from the trip's other days, else from all; a column that is
known of no day, or never differs, is none. How much of it is not written down is told
(`Ease.blank`), since that cannot be allowed for; `comfort.shared_ease` stands in for it.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..stats.arrays import Array, Codes, Flags
from .shared_ease import in_common

MILDER_STEP_C = 5.0
"""What one unit of warmth is, in degrees Celsius over the rating."""
DRIFT_SD = 0.15
"""Of the drift of scores, beforehand, in points a year."""
_SLOPE_SD = 0.5
"""Of the slope on a day's own part, beforehand, in points a step."""
_TRIP_SLOPE_SD = 0.3
"""Of the slope on a trip's mean, in points for each standard deviation of it between days."""
_NO_SLOPE = 0.02
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
    """Columns (n, q) and the prior spreads of their slopes (q).

    ``doubts`` (p): SD of what ease may still feign in the gain of each bundle, in points.
    ``blank``: the share of ease that is not written down, 0 to 1.
    """

    covariates: tuple[Covariate, ...]
    table: Array
    slope_sds: Array
    doubts: Array
    blank: float


def ease_of(
    aspect: str,
    days: Sequence[Day],
    along: Array,
    comforts: Flags,
    beside: Array | None = None,
) -> Ease:
    """How easy the days of an aspect were, and when.

    ``along`` (n, p): where each bundle was, ``comforts`` (p): which of them are carried for
    comfort; ``beside`` (n, u): where further comforts were that are not judged.
    """
    columns = _Columns(days)
    facts = {n: [of(day) for day in days] for n, of in _facts(aspect, days).items()}
    for name, values in facts.items():
        columns.fact(name, values)
    columns.trip("nights", [float(np.log2(1 + day["nights"])) for day in days])
    modes = [day["mode"] for day in days]
    known = sorted({m for m in modes if m}, key=lambda m: (-modes.count(m), m))
    for mode in known[1:]:
        by_mode = [None if m is None else float(m == mode) for m in modes]
        columns.plain(f"mode {mode}", by_mode, _SLOPE_SD)
    noted = [_known(values) for name, values in facts.items() if name != "higher"]
    blank = 1 - (sum(noted) + _known(modes)) / ((len(noted) + 1) * len(days))
    doubts = np.zeros(len(comforts))
    judged = along[:, comforts]
    packed = judged if beside is None else np.hstack([judged, beside])
    common = in_common(packed, columns.codes, blank)
    if common is not None:
        doubts[comforts] = common.doubts[: judged.shape[1]]
        if common.slope_sd > _NO_SLOPE:
            columns.trip("comforts", list(common.part), common.slope_sd)
    first = min(day["day"] for day in days)
    years = [(day["day"] - first).days / _DAYS_A_YEAR for day in days]
    columns.plain("later", list(years), DRIFT_SD)
    return columns.ease(len(days), doubts, blank)


def trip_numbers(days: Sequence[Day]) -> Codes:
    """The trip of each day by number, from 0 in the order in which they come."""
    number = {trip: n for n, trip in enumerate(dict.fromkeys(day["trip"] for day in days))}
    return np.array([number[day["trip"]] for day in days], dtype=np.intp)


def _facts(aspect: str, days: Sequence[Day]) -> dict[str, Callable[[Day], float | None]]:
    def milder(day: Day) -> float | None:
        return _warmth(day, day["rated_low_c"])

    rated = aspect == "sleep" and any(milder(day) is not None for day in days)
    return {
        "milder" if rated else "warmer": milder if rated else lambda day: _warmth(day, 0.0),
        "wet": lambda day: None if day["wet"] is None else float(day["wet"]),
        "farther": lambda day: _ratio(day["distance_km"], day["usual_km"]),
        "higher": lambda day: _ratio(day["ascent_m"], day["usual_ascent_m"]),
    }


def _warmth(day: Day, above_c: float | None) -> float | None:
    """By how many steps a day's low lies above so many degrees; None where either is not known."""
    low = day["normal_low_c"] if day["low_c"] is None else day["low_c"]
    return None if low is None or above_c is None else float(low - above_c) / MILDER_STEP_C


def _ratio(value: float | None, usual: float | None) -> float | None:
    if value is None or not usual:
        return None
    return min(value / usual - 1, _MOST_RATIO)


class _Columns:
    """Columns as they come, each with its spreads."""

    def __init__(self, days: Sequence[Day]) -> None:
        self._trips = [day["trip"] for day in days]
        self.codes = trip_numbers(days)
        self._columns: list[tuple[Covariate, Array, float]] = []

    def fact(self, name: str, values: Sequence[float | None]) -> None:
        """A column of the days, and one of the trips' means."""
        self.plain(name, values, _SLOPE_SD)
        self.trip(f"{name} trip", values)

    def plain(self, name: str, values: Sequence[float | None], sd: float) -> None:
        """A column as it is."""
        filled = self._filled(values)
        if filled is not None:
            self._columns.append((Covariate(name, _known(values)), filled, sd))

    def trip(self, name: str, values: Sequence[float | None], sd: float = _TRIP_SLOPE_SD) -> None:
        """The trips' means, in standard deviations."""
        filled = self._filled(values)
        if filled is None:
            return
        means = (np.bincount(self.codes, filled) / np.bincount(self.codes))[self.codes]
        spread = float(means.std())
        if spread > 1e-9:
            self._columns.append((Covariate(name, _known(values)), means / spread, sd))

    def _filled(self, values: Sequence[float | None]) -> Array | None:
        known = [value for value in values if value is not None]
        if len(set(known)) < 2:
            return None
        of_trip: defaultdict[str, list[float]] = defaultdict(list)
        pairs = list(zip(self._trips, values, strict=True))
        for trip, value in pairs:
            if value is not None:
                of_trip[trip].append(value)
        means = {trip: sum(of) / len(of) for trip, of in of_trip.items()}
        usual = sum(means.values()) / len(means)
        return np.array([means.get(trip, usual) if v is None else v for trip, v in pairs])

    def ease(self, n: int, doubts: Array, blank: float) -> Ease:
        """All of them."""
        names = tuple(covariate for covariate, _, _ in self._columns)
        table = np.stack([c for _, c, _ in self._columns], 1) if names else np.zeros((n, 0))
        return Ease(names, table, np.array([sd for *_, sd in self._columns]), doubts, blank)


def _known(values: Sequence[object]) -> int:
    return sum(value is not None for value in values)
