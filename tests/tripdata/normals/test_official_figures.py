"""Figures that NOAA issued, typed in, in files of each of its layouts: they are read as they are.

National Centers for Environmental Information, U.S. Climate Normals by station, public domain. A
file has typed figures where they were typed; its other days have the figure of the day before, so
that no whole file need be at hand. `test_typed_figures_are_in_the_files` holds what is typed.
"""

import csv
import math
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from pathlib import Path

import kit
import lebanon
import pytest
import station_files as made
from tarebook.tripdata.normals.calendar import DAYS, LEAP_DAYS
from tarebook.tripdata.normals.inventory import read_inventory, suited
from tarebook.tripdata.normals.station_file import StationNormals, read_station_file
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.thermometers.nights import lows_by_night
from tarebook.tripdata.thermometers.readings import Reading

PARK = {"STATION": "USW00094728", "NAME": "NEW YORK CNTRL PK TWR, NY US"}
PARK_DAYS_F = {
    "01-15": (27.6, 9.9),
    "02-15": (29.5, 8.9),
    "03-15": (35.4, 8.1),
    "04-15": (45.4, 6.6),
    "05-15": (54.7, 5.8),
    "06-15": (64.4, 5.3),
    "07-15": (70.4, 4.6),
    "08-15": (69.2, 4.5),
    "09-15": (62.7, 5.9),
    "10-15": (51.6, 6.7),
    "11-15": (42.1, 7.6),
    "12-15": (34.0, 8.3),
}
OLD_DAYS = {
    "01-01": (106, 127),
    "02-01": (83, 137),
    "03-01": (152, 125),
    "04-01": (283, 82),
    "05-01": (377, 78),
    "06-01": (498, 73),
    "07-01": (563, 65),
    "08-01": (585, 64),
    "09-01": (535, 71),
    "10-01": (421, 81),
    "11-01": (320, 82),
    "12-01": (242, 100),
}
TOOLIK_F = (-15.2, -4.9, -9.5, -1.9, 23.5, 37.6, 40.9, 35.6, 25.7, 8.4, -5.0, -12.0)
JULY_NIGHT = (
    760,
    770,
    774,
    774,
    770,
    760,
    745,
    721,
    698,
    684,
    672,
    664,
    651,
    650,
    646,
    642,
    637,
    637,
    651,
    671,
    694,
    715,
    734,
    749,
)
JANUARY_NIGHT = (
    262,
    271,
    277,
    277,
    271,
    257,
    247,
    239,
    233,
    228,
    222,
    217,
    205,
    210,
    208,
    205,
    203,
    200,
    197,
    197,
    198,
    213,
    231,
    246,
)
"""Worcester's hours from noon of the 14th to 11 o'clock of the 15th, in tenths of °F."""
LISTED = "USW00094765  43.6264  -72.3047  182.3 NH LEBANON MUNI AP                          \n"
Noaa = Callable[[str], Path]
Read = Callable[..., tuple[Findings, kit.Kept]]


def filled(
    typed: Mapping[str, tuple[float, float]], part: int, days: tuple[str, ...]
) -> dict[str, float]:
    """The typed figures, and on days without one that of the day before."""
    value, found = typed[max(typed)][part], {}
    for day in days:
        value = typed[day][part] if day in typed else value
        found[day] = value
    return found


def fahrenheit(normals: StationNormals, day: str) -> tuple[float, float | None]:
    low, spread = normals.lows[day]
    return round(low * 9 / 5 + 32, 6), None if spread is None else round(spread * 9 / 5, 6)


def read(content: bytes) -> StationNormals:
    return read_station_file("typed.csv", content)


def month_mean_f(normals: StationNormals, month: int) -> float:
    days = [d for d in DAYS if int(d[:2]) == month]
    return sum(fahrenheit(normals, d)[0] for d in days) / len(days)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, daily, USW00094765 (DLY-TMIN-NORMAL, DLY-TMIN-STDDEV), "
    "typed in",
    "Lebanon's 365 lows and spreads, 12.4 and 13.2 °F on 1 January; 29 February lies midway",
)
def test_a_whole_year_of_the_layout_of_1991_2020() -> None:
    station = read(lebanon.daily_file())
    assert (station.product, station.period, station.kind) == ("daily", "1991-2020", "published")
    assert (station.completeness, station.years) == ("R", 22)
    assert fahrenheit(station, "01-01") == (12.4, 13.2)
    lows, spreads = lebanon.lows_f(), lebanon.spreads_f()
    assert {d: fahrenheit(station, d) for d in DAYS} == {d: (lows[d], spreads[d]) for d in DAYS}
    assert fahrenheit(station, "02-29") == (15.1, 13.2)  # between 14.9 and 15.3


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, daily, USW00094728, typed in",
    "Central Park on the 15th of each month: 27.6 ± 9.9 °F in January, 70.4 ± 4.6 °F in July",
)
def test_single_days_of_the_layout_of_1991_2020() -> None:
    lows, spreads = (filled(PARK_DAYS_F, part, LEAP_DAYS) for part in (0, 1))
    station = read(made.daily(lows.__getitem__, spreads.__getitem__, **PARK))
    assert {d: fahrenheit(station, d) for d in PARK_DAYS_F} == PARK_DAYS_F
    assert (station.station, station.name) == tuple(PARK.values())


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1981-2010, daily, USW00094765, whole tenths of °F, typed in",
    "Lebanon on the first of each month: 106 and 127 on 1 January are 10.6 and 12.7 °F",
)
def test_the_layout_of_1981_2010_is_whole_tenths() -> None:
    lows, spreads = (filled(OLD_DAYS, part, LEAP_DAYS) for part in (0, 1))
    station = read(
        made.old_daily(lambda d: int(lows[d]), lambda d: int(spreads[d]), STATION="USW00094765")
    )
    assert station.period == "1981-2010"
    assert {d: fahrenheit(station, d) for d in OLD_DAYS} == {
        d: (low / 10, spread / 10) for d, (low, spread) in OLD_DAYS.items()
    }


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly, USW00094765 and USW00096409, typed in",
    "months keep their normal: Lebanon 9.3 °F in January, Toolik Lake -15.2 °F, 40.9 °F in July",
)
@pytest.mark.parametrize(
    ("months", "years", "flag"), [(lebanon.MONTHS_F, 22, "R"), (TOOLIK_F, 3, "E")]
)
def test_the_monthly_layout_keeps_the_mean_of_each_month(
    months: tuple[float, ...], years: int, flag: str
) -> None:
    station = read(made.monthly(lambda month: months[int(month) - 1], years, flag))
    assert (station.product, station.completeness, station.years) == ("monthly", flag, years)
    assert all(spread is None for _, spread in station.lows.values())
    for month, normal in enumerate(months, start=1):
        assert month_mean_f(station, month) == pytest.approx(normal, abs=1e-5)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly and daily, USW00094765, typed in",
    "Lebanon's days made of its months lie by .3 °F (rms) from NOAA's own daily normals, at most "
    ".55 °F",
)
def test_days_made_of_lebanons_months_are_near_noaas_own() -> None:
    curve = read(made.monthly(lambda month: lebanon.MONTHS_F[int(month) - 1], 22, "R"))
    own = lebanon.lows_f()
    apart = [fahrenheit(curve, d)[0] - own[d] for d in DAYS]
    rms = math.sqrt(sum(each * each for each in apart) / 365)
    print(f"days made of months: off by {rms:.2f} °F (rms), at most {max(map(abs, apart)):.2f} °F")
    assert rms < 0.3
    assert max(map(abs, apart)) < 0.55


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly and daily, USW00094765, typed in",
    "the mean of a month's daily normals is its monthly normal within .0135 °F",
)
def test_months_of_the_daily_file_are_the_monthly_normals() -> None:
    daily = read(lebanon.daily_file())
    for month, normal in enumerate(lebanon.MONTHS_F, start=1):
        # Both are rounded to a tenth; at this station they agree better than that.
        assert month_mean_f(daily, month) == pytest.approx(normal, abs=0.0135)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1981-2010, hourly, USW00094746 (HLY-TEMP-NORMAL), typed in",
    "Worcester's lowest hour of the night to 15 July is 63.7 °F, of that to 15 January 19.7 °F",
)
def test_the_hourly_layout_gives_the_lowest_hour_of_a_night() -> None:
    def hour(day: str, at: int) -> int:
        night = JANUARY_NIGHT if day < "04" or day > "10" else JULY_NIGHT
        return night[(at - 12) % 24]

    station = read(made.old_hourly(hour, STATION="USW00094746"))
    assert fahrenheit(station, "07-15")[0] == 63.7
    assert fahrenheit(station, "01-15")[0] == 19.7


@pytest.mark.outside(
    "official data",
    "NOAA, list of stations of the daily normals 1991-2020, USW00094765, typed in",
    "Lebanon's airport lies at 43.6264, -72.3047, 182.3 m",
)
def test_a_station_of_the_list_has_its_place() -> None:
    (airport,) = read_inventory(LISTED.encode())
    assert airport == ("USW00094765", "LEBANON MUNI AP, NH", 43.6264, -72.3047, 182.3)
    near = suited((43.63, -72.30), 182.3, None, [airport])
    assert near[0].height_difference_m == pytest.approx(0)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1981-2010, hourly, USW00094746, typed in",
    "a thermometer's file of Worcester's 24 hours to 15 July, °F and twelve-hour clock: the "
    "night's low is 63.7 °F, 17.61 °C",
)
def test_a_thermometers_file_of_official_hours_has_their_low(read: Read) -> None:
    start = datetime(2026, 7, 14, 12)
    rows = [
        f"{start + timedelta(hours=n):%m/%d/%Y %I:%M %p},{tenths / 10:.1f}"
        for n, tenths in enumerate(JULY_NIGHT)
    ]
    files: kit.Files = {
        "trip.csv": "trip,start_on,end_on,mode\nridge,2026-07-14,2026-07-15,foot\n",
        "tarebook.toml": '[[logger]]\ntime = "Time"\ntemperature = "Air (°F)"\n'
        'unit = "f"\nformat = "%m/%d/%Y %I:%M %p"\n',
        "trips/ridge/temperatures-porch.csv": "\n".join(["Time,Air (°F)", *rows, ""]),
    }
    findings, kept = read(files)
    assert findings.clean, findings.problems
    readings = [Reading(*row) for row in kept.rows("temperatures", "read_at", "temperature_c")]
    assert len(readings) == 24
    (low,) = lows_by_night(readings)
    assert low.low_c == pytest.approx((63.7 - 32) / 1.8)
    assert round(low.low_c, 2) == 17.61


def test_typed_figures_are_in_the_files(noaa: Noaa) -> None:
    def rows(name: str) -> list[dict[str, str]]:
        with noaa(f"normals-{name}.csv").open(newline="") as file:
            return list(csv.DictReader(file))

    def pairs(name: str) -> dict[str, tuple[float, float]]:
        return {
            r["DATE"]: (float(r["DLY-TMIN-NORMAL"]), float(r["DLY-TMIN-STDDEV"]))
            for r in rows(name)
        }

    assert pairs("daily-1991-2020-USW00094728").items() >= PARK_DAYS_F.items()
    assert pairs("daily-1981-2010-USW00094765").items() >= OLD_DAYS.items()
    toolik = rows("monthly-1991-2020-USW00096409")
    assert tuple(float(r["MLY-TMIN-NORMAL"]) for r in toolik) == TOOLIK_F
    hours = [(r["DATE"], r["HLY-TEMP-NORMAL"]) for r in rows("hourly-1981-2010-USW00094746")]
    for month, night in (("07", JULY_NIGHT), ("01", JANUARY_NIGHT)):
        first = hours.index((f"{month}-14T12:00:00", str(night[0])))
        assert tuple(int(tenths) for _, tenths in hours[first : first + 24]) == night
