"""Station files in NOAA's layouts, small in columns, whole in rows, for what no real one shows."""

import csv
import io
from collections.abc import Callable, Iterable
from typing import Any

from tarebook.tripdata.normals.calendar import DAYS, LEAP_DAYS

ABOUT = {
    "STATION": "USW00099999",
    "LATITUDE": " 47.5000",
    "LONGITUDE": "-122.0000",
    "ELEVATION": "  100.0",
    "NAME": "FERNHOLLOW AP, WA US",
}

Value = Callable[[str], Any]


def text(rows: Iterable[dict[str, Any]]) -> bytes:
    """Rows as NOAA writes them: every cell quoted."""
    kept = list(rows)
    out = io.StringIO()
    writer = csv.DictWriter(out, list(kept[0]), quoting=csv.QUOTE_ALL, lineterminator="\n")
    writer.writeheader()
    writer.writerows(kept)
    return out.getvalue().encode()


def _new(element: str, value: Any, years: Any, flag: str, measured: str = " ") -> dict[str, Any]:
    shown = f"{value:8.1f}" if isinstance(value, (int, float)) else value
    return {
        element: shown,
        f"meas_flag_{element}": measured,
        f"comp_flag_{element}": flag,
        f"years_{element}": years,
    }


def daily(
    low: Value = lambda _: 40.0,
    spread: Value = lambda _: 8.0,
    *,
    years: Any = 30,
    flag: str = "S",
    measured: Value = lambda _: " ",
    days: Iterable[str] = LEAP_DAYS,
    **about: str,
) -> bytes:
    """Daily normals in the layout of 1991-2020 and 2006-2020; temperatures in °F."""
    return text(
        {
            **_head(day, about),
            **_new("DLY-TMIN-NORMAL", low(day), years, flag, measured(day)),
            **_new("DLY-TMIN-STDDEV", spread(day), years, flag),
        }
        for day in days
    )


def monthly(low: Value, years: Any = 30, flag: str = "S", **about: str) -> bytes:
    """Monthly normals in the same layout; the spread is that of monthly means."""
    return text(
        {
            **_head(f"{month:02d}", about),
            **_new("MLY-TMIN-NORMAL", low(f"{month:02d}"), years, flag),
            **_new("MLY-TMIN-STDDEV", 3.0, years, flag),
        }
        for month in range(1, 13)
    )


def old_daily(low: Value, spread: Value = lambda _: 80, **about: str) -> bytes:
    """Daily normals in the layout of 1981-2010: whole tenths of °F."""
    return text(
        {
            **_head(day, about),
            "DLY-TMIN-NORMAL": low(day),
            "DLY-TMIN-NORMAL_ATTRIBUTES": "C",
            "DLY-TMIN-STDDEV": spread(day),
            "DLY-TMIN-STDDEV_ATTRIBUTES": "C",
        }
        for day in LEAP_DAYS
    )


def old_hourly(temperature: Callable[[str, int], Any], **about: str) -> bytes:
    """Hourly normals in the layout of 1981-2010, without percentiles; tenths of °F."""
    return text(
        {
            **_head(f"{day}T{hour:02d}:00:00", about),
            "HLY-TEMP-NORMAL": temperature(day, hour),
            "HLY-TEMP-NORMAL_ATTRIBUTES": "C",
        }
        for day in DAYS
        for hour in range(24)
    )


def _head(date: str, about: dict[str, str]) -> dict[str, str]:
    more = {**ABOUT, **about}
    return {"STATION": more.pop("STATION"), "DATE": date, **more}
