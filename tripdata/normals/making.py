"""Makes `packaged.csv`, the normals that come with the program: for developers only.

The table is kept here rather than made from the PyPI package vega_datasets on every machine: that
has not changed since 2020, would bring its own dependencies, and 731 lines need neither.
"""

import csv
import statistics
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from ..units import fahrenheit_to_celsius
from .calendar import DAYS, LEAP_DAY, Low, with_leap_day
from .hours import Hour, nightly_lows
from .packaged import HEADER, TABLE, packaged_stations

_USAGE = """\
python -m tarebook.tripdata.normals.making FOLDER

Makes packaged.csv anew. FOLDER holds seattle-temps.csv, sf-temps.csv and seattle-weather.csv as the
PyPI package vega_datasets 0.9.0 ships them."""
HALF_WINDOW = 7
HALF_SMOOTHING = 14
_Each = TypeVar("_Each")


def spread_of_lows(lows: Mapping[str, float]) -> dict[str, float]:
    """Standard deviation of daily lows by `MM-DD`, from lows observed by ISO date, in their unit.

    As NOAA does it: of all lows in the 15 days around the day, over all years, then the running
    mean over 29 days (Arguez et al. 2012, BAMS 93(11); Normals_Calculation_Methodology_2020). The
    year is round and has 365 days; 29 February is left out.
    """
    by_day: dict[str, list[float]] = {day: [] for day in DAYS}
    for day, low in lows.items():
        if day[5:] != LEAP_DAY:
            by_day[day[5:]].append(low)
    pools = [by_day[day] for day in DAYS]
    raw = [
        statistics.stdev(value for pool in _around(pools, place, HALF_WINDOW) for value in pool)
        for place in range(len(DAYS))
    ]
    return {
        day: statistics.fmean(_around(raw, place, HALF_SMOOTHING)) for place, day in enumerate(DAYS)
    }


def _around(values: Sequence[_Each], place: int, half: int) -> list[_Each]:
    return [values[(place + step) % len(values)] for step in range(-half, half + 1)]


def lows_from_hours(rows: list[dict[str, str]]) -> dict[str, float]:
    """Nightly lows in °C by day from rows of `date` (a placeholder year) and `temp` in °F."""
    days: dict[str, dict[int, Hour]] = {day: {} for day in DAYS}
    for row in rows:
        day, hour = row["date"][5:10].replace("/", "-"), int(row["date"][11:13])
        days[day][hour] = Hour(float(row["temp"]))
    return {day: fahrenheit_to_celsius(low) for day, (low, _) in nightly_lows(days).items()}


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def make(folder: Path) -> list[list[str]]:
    """The rows of the table, in the order of its header."""
    rows = []
    for source in packaged_stations():
        lows = lows_from_hours(_rows(folder / source["hours"]))
        spreads: dict[str, float] = {}
        if source["observed"]:
            observed = {
                row["date"].replace("/", "-"): float(row["temp_min"])
                for row in _rows(folder / source["observed"])
            }
            spreads = spread_of_lows(observed)
        year: dict[str, Low] = {day: (low, spreads.get(day)) for day, low in lows.items()}
        for day, (low, spread) in with_leap_day(year).items():
            spread_c = "" if spread is None else f"{spread:.2f}"
            rows.append([source["station"], day, f"{low:.2f}", spread_c])
    return rows


def main(arguments: list[str]) -> int:
    """Rewrite the table; returns the exit status."""
    if len(arguments) != 1:
        print(_USAGE, file=sys.stderr)
        return 2
    with Path(__file__).with_name(TABLE).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADER)
        writer.writerows(make(Path(arguments[0])))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
