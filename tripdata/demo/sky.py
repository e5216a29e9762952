"""The weather of a trip: wet days, wind, highs, nightly lows and what the thermometer wrote.

Lows keep near the normals of the lowland airport, a little colder in a camp, with anomalies that
last from night to night.
"""

import math
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from . import truth
from .dice import Dice
from .trips import Trip

WET_SHARE = (0.55, 0.5, 0.5, 0.42, 0.32, 0.28, 0.15, 0.17, 0.28, 0.45, 0.58, 0.58)
"""Share of wet days, January to December; rounded, from memory."""
HIGH_OVER_LOW_C = (5.5, 7, 8, 9.5, 10.5, 10.5, 12, 12, 11, 8, 6.5, 5.5)
HEAT_C = 29.0
FORD_AND_SNOW = ("ford", "snow")


@dataclass(slots=True)
class DrawnDay:
    """One day's weather as noted; ``rain_mm`` is None where it was not measured."""

    day: date
    wet: bool
    rain_mm: float | None
    wind_kmh: int
    high_c: float
    conditions: tuple[str, ...]


@dataclass(slots=True)
class Night:
    """One night, by the date on which it began.

    ``low_c`` is the low that the camper would read off: of the readings, or the noted one.
    ``slept_c`` is the true low, which differs only where the logger stopped early.
    """

    day: date
    slept_c: float
    low_c: float
    readings: list[tuple[datetime, float]] = field(default_factory=list)
    noted: bool = False


def _season(day: date, peak: int) -> float:
    return math.cos(2 * math.pi * (day.timetuple().tm_yday - peak) / 365.25)


def normal_low_c(day: date, elevation_m: float) -> float:
    """Normal low of the night that begins on ``day`` at that height, in degrees Celsius.

    It is the airport's normal of the next morning, carried up the hill.
    """
    swing = truth.NORMAL_LOW_SWING_C * _season(day + timedelta(1), truth.WARMEST_DAY_OF_YEAR)
    height = truth.LAPSE_C_PER_M * (elevation_m - truth.STATION_ELEVATION_M)
    return truth.NORMAL_LOW_MEAN_C + swing + height - truth.CAMP_COLDER_C


def days_of(trip: Trip) -> list[DrawnDay]:
    """A row of weather for each day; wet days come in runs."""
    dice = Dice(trip.trip, "weather")
    days: list[DrawnDay] = []
    warm = dice.normal()
    wet = False
    for number, day in enumerate(trip.days):
        share = WET_SHARE[day.month - 1]
        wet = dice.chance(min(0.9, share + (0.25 if wet else -0.08)))
        heat, snow = trip.surely("heat", number), trip.surely("snow", number)
        wet = (wet or trip.surely("rain", number) or snow) and not heat
        amount = 1.2 + 5.0 * -math.log(1 - dice.between(0, 0.97))
        if trip.surely("rain", number):
            amount += 14
        rain = round(amount, 1) if wet else round(max(0.0, dice.normal(-0.3, 0.4)), 1)
        warm = 0.6 * warm + 0.8 * dice.normal()
        low = normal_low_c(day, trip.place.elevation_m) + truth.CAMP_COLDER_C
        high = low + HIGH_OVER_LOW_C[day.month - 1] + 2.2 * warm - (2.5 if wet else -1.0)
        high = max(high, HEAT_C + 1.4 + abs(warm)) if heat else high
        windy = dice.between(4, 16) + (dice.between(3, 16) if wet else 0)
        unmeasured = wet and amount < 12 and dice.chance(0.2)
        seen = [word for word in FORD_AND_SNOW if trip.surely(word, number)]
        seen += ["heat"] if high >= HEAT_C else []
        buggy = day.month in (5, 6, 7, 8) and not wet and dice.chance(0.25)
        seen += ["bugs"] if buggy or trip.surely("bugs", number) else []
        days.append(
            DrawnDay(
                day, wet, None if unmeasured else rain, round(windy), round(high, 1), tuple(seen)
            )
        )
    return days


def _reading_times(night: date, minutes: int, late: bool) -> list[datetime]:
    first = datetime.combine(night, time(19, 30) if late else time(18, 30))
    last = datetime.combine(night + timedelta(1), time(8, 30))
    count = int((last - first).total_seconds()) // (60 * minutes)
    return [first + timedelta(minutes=minutes * n) for n in range(count + 1)]


def _curve(hours_to_coldest: float, drop_c: float) -> float:
    """Degrees above the low: cooling that slows towards dawn, then a quick rise."""
    if hours_to_coldest >= 0:
        return drop_c * math.pow(hours_to_coldest / 10.5, 1.4)
    return 1.3 * -hours_to_coldest


def _thermometer(trip: Trip, night: Night, clear: bool) -> None:
    dice = Dice(trip.trip, "thermometer", night.day.isoformat())
    coldest = 6.0 - 0.9 * _season(night.day, 172) + dice.between(-0.4, 0.4)
    dawn = datetime.combine(night.day + timedelta(1), time()) + timedelta(hours=coldest)
    drop = dice.between(5.5, 8.5) if clear else dice.between(2.0, 4.0)
    late = night.day.month in (5, 6, 7, 8, 9)
    for at in _reading_times(night.day, trip.logger, late):
        hours = (dawn - at).total_seconds() / 3600
        value = night.slept_c + _curve(hours, drop) + abs(dice.normal(0, 0.12))
        night.readings.append((at, round(value, 1)))


def nights_of(trip: Trip, days: list[DrawnDay]) -> list[Night]:
    """The nights of a trip, with readings as its logger went, or the low as noted.

    A mild night follows a mild day: the day's high is raised where the night would top it.
    """
    dice = Dice(trip.trip, "lows")
    anomaly = dice.normal()
    stopped = False
    nights: list[Night] = []
    for number, day in enumerate(trip.days[:-1]):
        sd = truth.LOW_SD_C - truth.LOW_SD_SWING_C * _season(day, truth.WARMEST_DAY_OF_YEAR)
        normal = normal_low_c(day, trip.place.elevation_m)
        low = round(normal + sd * anomaly, 1)
        if trip.surely("snow", number):
            low = min(low, -0.6)
        days[number].high_c = max(days[number].high_c, round(low + 2.4, 1))
        night = Night(day, low, low, noted=stopped or trip.logger == 0)
        if not night.noted:
            _thermometer(trip, night, clear=not days[number].wet)
            if trip.surely("logger-stops", number):
                stopped = True
                night.readings = [r for r in night.readings if r[0].date() == day][:-3]
            night.low_c = min(value for _, value in night.readings)
        nights.append(night)
        rho = truth.NIGHT_TO_NIGHT
        anomaly = rho * anomaly + math.sqrt(1 - rho * rho) * dice.normal()
    return nights
