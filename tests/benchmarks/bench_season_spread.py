"""How often are nights as cold as told, season by season: where the figures are from, and how good.

`python tests/benchmarks/bench_season_spread.py [FOLDER]`, where FOLDER (by default `shared/noaa`
beside the project) holds NOAA's files as named below; Seattle's lows are of the package
vega_datasets. Chances told are divided by those observed or published: 1 is right, above 1 is on
the safe side. "curve" is the plain normal curve, "season" what `season_spread` makes of it. Used to
find its figures: Central Park and Worcester. Not used: Lebanon and Seattle. Seattle's normals and
spread are smoothed from the same four years, so that there only the shape is tested.
"""

import csv
import importlib.resources
import math
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple

import numpy as np
from scipy.special import ndtr
from tarebook.analysis.climate import season_spread
from tarebook.analysis.climate.season_spread import SeasonSpread, season_of_night
from tarebook.analysis.stats.ar1_chain import any_below
from tarebook.tripdata.normals.making import spread_of_lows
from tarebook.tripdata.normals.station_file import read_station_file
from tarebook.tripdata.units import fahrenheit_to_celsius

NOAA = Path(__file__).parents[3] / "shared" / "noaa"
CENTRAL_PARK = "normals-daily-1991-2020-USW00094728.csv"
OBSERVED = "ghcn-daily-observed-USW00094728-2009-2024.csv"
WORCESTER = "normals-hourly-1981-2010-USW00094746.csv"
LEBANON = "normals-{}-1991-2020-USW00094765.csv"
SEASONS = {
    "Dec-Mar": (12, 1, 2, 3),
    "Apr-May": (4, 5),
    "Jun-Aug": (6, 7, 8),
    "Sep-Nov": (9, 10, 11),
}
LEBANON_YEARS = 22
ALIKE = 2.0
"""A cold night rarely comes alone: the error of a count is that of independent nights times the
root of this (1 + 2 x the sum of the correlations of nights under -1.5 to -2, by the model)."""
LATITUDE = 42.0
DEPTHS = (1.0, 1.5, 2.0, 2.5)


class Night(NamedTuple):
    """A night of a record: the day of its morning, and its low in spreads from the normal."""

    morning: date
    deviation: float


class Ratio(NamedTuple):
    """Told and seen, as sums of chances or shares, with the error of what was seen."""

    curve: float
    season: float
    seen: float
    error: float

    def __str__(self) -> str:
        if self.seen <= 0:
            return f"none seen, told {self.curve:.4f} and {self.season:.4f}"
        off = 100 * self.error / self.seen
        return (
            f"curve {self.curve / self.seen:4.2f}, season {self.season / self.seen:4.2f} "
            f"± {off:2.0f} %"
        )


def rows(path: Path) -> Iterator[dict[str, str]]:
    """The rows of a CSV file."""
    with path.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def central_park(folder: Path) -> list[Night]:
    """The nights observed at Central Park."""
    lows = read_station_file("", (folder / CENTRAL_PARK).read_bytes()).lows
    found = []
    for row in rows(folder / OBSERVED):
        if row["TMIN"].strip():
            normal, spread = lows[row["DATE"][5:]]
            low = fahrenheit_to_celsius(float(row["TMIN"]))
            found.append(Night(date.fromisoformat(row["DATE"]), (low - normal) / (spread or 1)))
    return found


def seattle() -> list[Night]:
    """The nights observed at Seattle, against a year of three waves through them."""
    source = importlib.resources.files("vega_datasets") / "_data" / "seattle-weather.csv"
    text = source.read_text(encoding="utf-8").splitlines()
    noted = {r["date"].replace("/", "-"): float(r["temp_min"]) for r in csv.DictReader(text)}
    days = [date.fromisoformat(day) for day in noted]
    turn = np.array([2 * math.pi * day.timetuple().tm_yday / 365.25 for day in days])
    waves = np.column_stack(
        [np.ones(len(days)), *(f(k * turn) for k in (1, 2, 3) for f in (np.cos, np.sin))]
    )
    lows = np.array(list(noted.values()))
    off = lows - waves @ np.linalg.lstsq(waves, lows, rcond=None)[0]
    spreads = spread_of_lows({str(day): float(o) for day, o in zip(days, off, strict=True)})
    return [
        Night(day, float(o) / spreads[f"{day:%m-%d}" if f"{day:%m-%d}" != "02-29" else "02-28"])
        for day, o in zip(days, off, strict=True)
    ]


def skewness(values: Sequence[float]) -> float:
    """Third central moment in standard deviations."""
    array = np.array(values)
    return float(((array - array.mean()) ** 3).mean() / array.std() ** 3)


def worcester_skew(folder: Path, months: Sequence[int]) -> float:
    """By the percentiles from 4 to 7 in the morning: for a slightly skewed distribution
    p10 + p90 - 2 mean = skew / 3 x (z² - 1) standard deviations (Cornish & Fisher 1938)."""
    z = 1.2815515655446004
    by_month: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for row in rows(folder / WORCESTER):
        if 4 <= int(row["DATE"][6:8]) <= 7:
            low, mean, high = (
                float(row[f"HLY-TEMP-{part}"]) for part in ("10PCTL", "NORMAL", "90PCTL")
            )
            by_month[int(row["DATE"][:2])].append((low + high - 2 * mean, (high - low) / (2 * z)))
    each = []
    for month in months:
        lean, spread = np.array(by_month[month]).mean(0)
        each.append(lean / spread * 3 / (z * z - 1))
    return float(np.mean(each))


def derive(folder: Path, nights: Sequence[Night]) -> None:
    """Print what the figures are made of, beside those of the module."""
    print(
        "Figures: skew at Central Park, at Worcester, what follows; spread at Central Park, what "
        "follows; in the module"
    )
    of_module = (
        season_spread.WINTER,
        season_spread.SPRING,
        season_spread.SUMMER,
        season_spread.AUTUMN,
    )
    for (name, months), used in zip(SEASONS.items(), of_module, strict=True):
        own = [n.deviation for n in nights if n.morning.month in months]
        here, there = skewness(own), worcester_skew(folder, months)
        mean = (here + there) / 2
        skew = round((mean if mean < 0 else mean / 2) * 20) / 20
        spread = float(np.std(own))
        print(
            f"  {name}: {here:+.2f} {there:+.2f} -> {skew:+.2f}; {spread:.3f} -> "
            f"{max(1.0, round(spread, 2)):.2f}; {used.skew:+.2f}, {used.spread:.2f}"
        )


def seasons_of(nights: Iterable[Night]) -> dict[str, list[Night]]:
    """The nights by season, by the month of their morning."""
    nights = list(nights)
    return {
        name: [n for n in nights if n.morning.month in months] for name, months in SEASONS.items()
    }


def spread_for(morning: date) -> SeasonSpread:
    """The season's distribution for the low of a morning."""
    return season_of_night(morning - timedelta(days=1), LATITUDE)


def under(nights: Sequence[Night], depth: float) -> float:
    """Whether any night is so cold; a half where that hangs on one that lies on the threshold.

    Records are whole degrees and normals tenths, so that some lie on it to the last digit.
    """
    lowest = round(min(n.deviation for n in nights), 9)
    return (float(lowest < -depth) + float(lowest <= -depth)) / 2


def block_error(seen: Sequence[float], mornings: Sequence[date]) -> float:
    """Standard error of a share, by blocks of a month each."""
    blocks: dict[tuple[int, int], list[float]] = defaultdict(list)
    for one, morning in zip(seen, mornings, strict=True):
        blocks[morning.year, morning.month].append(one)
    sums = np.array([sum(block) for block in blocks.values()])
    sizes = np.array([len(block) for block in blocks.values()])
    share = sums.sum() / sizes.sum()
    return float(math.sqrt(((sums - share * sizes) ** 2).sum()) / sizes.sum())


def single_nights(nights: Sequence[Night], depth: float) -> Ratio:
    """One night under ``depth`` spreads below its normal."""
    seen = [under([n], depth) for n in nights]
    told = np.mean([ndtr(spread_for(n.morning).score(-depth)) for n in nights])
    error = block_error(seen, [n.morning for n in nights])
    return Ratio(float(ndtr(-depth)), float(told), float(np.mean(seen)), error)


def in_a_row(nights: Sequence[Night], depth: float, length: int = 7) -> Ratio:
    """Any of ``length`` nights in a row under ``depth`` spreads below its normal."""
    starts = [
        k
        for k in range(len(nights) - length + 1)
        if (nights[k + length - 1].morning - nights[k].morning).days == length - 1
    ]
    seen = [under(nights[k : k + length], depth) for k in starts]
    told = {}
    for k in starts:
        key = f"{nights[k].morning:%m-%d}"
        if key not in told:
            run = nights[k : k + length]
            told[key] = any_below([spread_for(n.morning).score(-depth) for n in run])
    each = [told[f"{nights[k].morning:%m-%d}"] for k in starts]
    error = block_error(seen, [nights[k].morning for k in starts])
    return Ratio(any_below([-depth] * length), float(np.mean(each)), float(np.mean(seen)), error)


def lebanon_counts(folder: Path) -> dict[tuple[str, float], Ratio]:
    """Days a month at or under NOAA's thresholds, by season and by how far below they lie."""
    lows = read_station_file("", (folder / LEBANON.format("daily")).read_bytes()).lows
    found: dict[tuple[str, float], list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    for row in rows(folder / LEBANON.format("monthly")):
        month = int(row["DATE"])
        season = next(name for name, months in SEASONS.items() if month in months)
        days = [day for day in lows if int(day[:2]) == month and day != "02-29"]
        for threshold in (0, 10, 20, 32, 40, 50, 60, 70):
            at_c = fahrenheit_to_celsius(threshold + 0.5)  # lows are noted in whole degrees
            gaps = [(at_c - lows[day][0]) / (lows[day][1] or 1) for day in days]
            depth = -round(2 * float(np.mean(gaps))) / 2
            if not 1.0 <= depth <= 2.5:
                continue
            mornings = [date(2023, month, int(day[3:])) for day in days]
            sums = found[season, depth]
            sums[0] += sum(ndtr(gap) for gap in gaps)
            sums[1] += sum(
                ndtr(spread_for(m).score(g)) for m, g in zip(mornings, gaps, strict=True)
            )
            sums[2] += float(row[f"MLY-TMIN-AVGNDS-LSTH{threshold:03d}"])
    return {
        key: Ratio(curve, season, seen, math.sqrt(ALIKE * seen / LEBANON_YEARS))
        for key, (curve, season, seen) in found.items()
    }


def lebanon_frosts(folder: Path) -> Iterator[tuple[str, Ratio]]:
    """Chance of a frost after a day of spring, or before one of autumn, as NOAA publishes it.

    "Last frost 28 °F, 20 %" is the day after which one comes in 20 years of 100: that any night of
    the rest of the season, some weeks to months, is so cold.
    """
    lows = read_station_file("", (folder / LEBANON.format("daily")).read_bytes()).lows
    row = next(rows(folder / LEBANON.format("annualseasonal")))
    for which, column in (("last", "PRBLST"), ("first", "PRBFST")):
        for threshold in (16, 20, 24, 28, 32, 36):
            at_c = fahrenheit_to_celsius(threshold + 0.5)
            sums = np.zeros(3)
            for percent in (10, 20, 30, 40, 50):
                text = row[f"ANN-TMIN-{column}-T{threshold:02d}FP{percent}"].strip()
                month, day = (int(part) for part in text.split("/"))
                ends = (
                    (date(2023, month, day) + timedelta(1), date(2023, 7, 31))
                    if which == "last"
                    else (date(2023, 8, 1), date(2023, month, day))
                )
                run = [ends[0] + timedelta(k) for k in range((ends[1] - ends[0]).days + 1)]
                gaps = [(at_c - lows[f"{m:%m-%d}"][0]) / (lows[f"{m:%m-%d}"][1] or 1) for m in run]
                scores = [spread_for(m).score(g) for m, g in zip(run, gaps, strict=True)]
                sums += (any_below(gaps), any_below(scores), percent / 100)
            mean = sums / 5
            error = math.sqrt(mean[2] * (1 - mean[2]) / LEBANON_YEARS)
            yield f"{which} {threshold} °F", Ratio(*mean, error)


def main(folder: Path) -> None:
    """Print where the figures are from, and what is told against what was seen."""
    park = central_park(folder)
    derive(folder, park)
    for where, nights in (
        ("Central Park, 2009-2024, used", park),
        ("Seattle, 2012-2015, not used", seattle()),
    ):
        for season, own in seasons_of(nights).items():
            for depth in DEPTHS:
                print(f"{where}: {season}, one night under {depth:g}: {single_nights(own, depth)}")
            for depth in (1.5, 2.0):
                print(f"{where}: {season}, seven nights under {depth:g}: {in_a_row(own, depth)}")
    for (season, depth), ratio in sorted(lebanon_counts(folder).items()):
        print(f"Lebanon's days below, not used: {season}, near {depth:g}: {ratio}")
    for name, ratio in lebanon_frosts(folder):
        print(f"Lebanon's frosts, not used: {name}: {ratio}")


if __name__ == "__main__":
    chosen = Path(sys.argv[1]) if len(sys.argv) > 1 else NOAA
    if chosen.is_dir():
        main(chosen)
    else:
        print(f"NOAA's files are not at hand: there is no folder {chosen.name} beside the project")
