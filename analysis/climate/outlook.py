"""How likely is a night colder than one likes, at a place and dates to come.

Lows stray from their normal as the season has it (`season_spread`), by the published spread of
single nights; each night is like the one before by AR(1). How good that is, by season and station,
is printed by `tests/benchmarks/bench_season_spread.py` and stands in the README beside it; beyond
2.5 standard deviations it says no more than "rare". It knows the climate and nothing of the weather
to come.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ...tripdata.contract import MAX_TRIP_DAYS
from ...tripdata.errors import QuestionError
from ..catalogue.entry import Rows, fields_of, interval_columns
from ..stats.ar1_chain import NIGHT_TO_NIGHT_RANGE, any_below
from ..stats.estimate import Estimate
from ..store.rows import Store
from ..store.trip_choice import choose_trip
from .normals import BandNight, normal_band
from .season_spread import SeasonSpread
from .station_choice import NoStation, Place, StationChoice, choose_station, station_of_trip

NORMALS_OFF_SD = 0.3
"""How far normals may be off for a place, in standard deviations, either way."""
RARE_SD = 2.5
"""Farther below its normal, in standard deviations of the file, a night is just "rare"."""
_COLDEST_C, _WARMEST_C = -60.0, 60.0


@dataclass(frozen=True, slots=True)
class OutlookNight(BandNight):
    """One night to come: what is usual, and the chance of a low below the threshold.

    ``p_below`` is missing without a threshold or spread, and where such a night is ``rare``.
    """

    p_below: float | None = None
    rare: bool = False


@dataclass(frozen=True, slots=True)
class Outlook:
    """Nights to come and the chance that any of them falls below ``below_c``.

    ``p_any`` is missing where there is no night, no threshold, no knowledge of the spread of single
    nights, or such a night is ``rare`` on each of them; it lies between its ends where neighbouring
    nights are alike by .6 to .75 and the normals are off by up to .3 standard deviations.

    ``sum_odds`` is for sums over many things, never to be told: chance and range also where it is
    rare, then from nothing to what it were, were the nights just not rare.
    """

    start_on: date
    end_on: date
    below_c: float | None
    station: StationChoice
    nights: tuple[OutlookNight, ...]
    p_any: Estimate | None
    rare: bool
    sum_odds: Estimate | None = None


def outlook(
    store: Store, place: Place, start_on: date, end_on: date, below_c: float
) -> Outlook | NoStation:
    """The outlook for the nights from ``start_on`` to the one before ``end_on``.

    Raises QuestionError where a date, the place or the temperature is out of range.
    """
    _in_range(place, start_on, end_on, below_c)
    return _outlook(store, choose_station(store, place), start_on, end_on, below_c)


def outlook_of_trip(store: Store, trip: str, below_c: float | None = None) -> Outlook | NoStation:
    """The outlook for the dates of a trip, planned or past.

    Raises QuestionError where there is no such trip or the temperature is out of range.
    """
    chosen = choose_trip(store, trip)
    if below_c is not None:
        _temperature(below_c)
    station = station_of_trip(store, chosen.trip)
    return _outlook(store, station, chosen.start_on, chosen.end_on, below_c)


def _outlook(
    store: Store,
    station: StationChoice | NoStation,
    start_on: date,
    end_on: date,
    below_c: float | None,
) -> Outlook | NoStation:
    if isinstance(station, NoStation):
        return station
    last = end_on - timedelta(days=1)
    band = normal_band(store, station, start_on, last) if last >= start_on else ()
    gaps = [_gap(night, below_c) for night in band]
    nights = tuple(map(_night, band, gaps))
    known = [(n.season, gap) for n, gap in zip(band, gaps, strict=True) if gap is not None]
    complete = bool(known) and len(known) == (end_on - start_on).days
    rare = complete and all(night.rare for night in nights)
    odds = _odds(known, rare) if complete else None
    shown = None if rare else odds
    return Outlook(start_on, end_on, below_c, station, nights, shown, rare, odds)


def _odds(nights: Sequence[tuple[SeasonSpread, float]], rare: bool) -> Estimate:
    """Chance that any night falls below its gap, in the file's standard deviations; its range."""
    chance = any_below([season.score(gap) for season, gap in nights])
    if rare:
        return Estimate(chance, 0.0, any_below([season.score(-RARE_SD) for season, _ in nights]))
    others = [
        any_below([season.score(gap + shift) for season, gap in nights], correlation)
        for correlation in NIGHT_TO_NIGHT_RANGE
        for shift in (-NORMALS_OFF_SD, NORMALS_OFF_SD)
    ]
    return Estimate(chance, min(others), max(others))


def _gap(night: BandNight, below_c: float | None) -> float | None:
    """Threshold less normal, in standard deviations."""
    if night.sd_c is None or below_c is None:
        return None
    return (below_c - night.normal_low_c) / night.sd_c


def _night(night: BandNight, gap: float | None) -> OutlookNight:
    from scipy.special import ndtr  # type: ignore[import-untyped]

    rare = gap is not None and gap < -RARE_SD
    chance = None if gap is None or rare else float(ndtr(night.season.score(gap)))
    return OutlookNight(night.night, night.normal_low_c, night.sd_c, night.season, chance, rare)


def _temperature(below_c: float) -> None:
    if not _COLDEST_C <= below_c <= _WARMEST_C:
        raise QuestionError(
            f"below_c: expected a temperature from {_COLDEST_C:g} to {_WARMEST_C:g} °C, "
            f"got {below_c:g}"
        )


def _in_range(place: Place, start_on: date, end_on: date, below_c: float) -> None:
    limits: Sequence[tuple[str, float | None, float, float]] = (
        ("latitude", place.latitude, -90, 90),
        ("longitude", place.longitude, -180, 180),
        ("elevation_m", place.elevation_m, -500, 9000),
    )
    for name, value, low, high in limits:
        if value is not None and not low <= value <= high:
            raise QuestionError(f"{name}: expected {low:g} to {high:g}, got {value:g}")
    _temperature(below_c)
    nights = (end_on - start_on).days
    if not 1 <= nights <= MAX_TRIP_DAYS:
        raise QuestionError(
            f"end_on: expected a day after {start_on} and at most {MAX_TRIP_DAYS} days later, "
            f"got {end_on}"
        )


def outlook_rows(outlook: Outlook) -> Rows:
    """An outlook as rows of the table outlook, one a night."""
    station = outlook.station
    return [
        {
            **fields_of(night, "night", "normal_low_c", "sd_c", "p_below"),
            **interval_columns("p_any_below", outlook.p_any, "p_any"),
            "below_c": outlook.below_c,
            **fields_of(station, "station", "distance_km", "height_difference_m", "normal_source"),
        }
        for night in outlook.nights
    ]
