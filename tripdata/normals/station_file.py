"""One by-station normals file of NOAA's, from its bytes to the lows of a year."""

import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..text import UnreadableError, decode, split_lines
from ..units import fahrenheit_step_to_celsius, fahrenheit_to_celsius
from .calendar import LEAP_DAY, LEAP_DAYS, Low, with_leap_day
from .columns import Element, FileLayout, NoLowError, NotNormalsError, Product, layout_of
from .harmonics import days_from_months
from .hours import Hour, nightly_lows

KINDS = {"daily": "published", "monthly": "curve", "hourly": "hours"}
"""What the lows of a product are: as published, a curve through months, or from hours (weaker)."""
PERIODS = ("2006-2020", "1991-2020", "1981-2010")
_DATES: dict[Product, re.Pattern[str]] = {
    "daily": re.compile(r"(\d\d)-(\d\d)"),
    "monthly": re.compile(r"(\d\d)"),
    "hourly": re.compile(r"(\d\d)-(\d\d)T(\d\d):00:00"),
}
_RECORDS: dict[Product, tuple[int, ...]] = {
    "daily": (365, 366),
    "monthly": (12,),
    "hourly": (8760, 8784),
}
_COMPLETENESS = "CSRPQE"
_FIFTEEN_YEARS = 15
STATION = re.compile(r"[A-Z]{2}[A-Z0-9]{9}")
"""An identifier of a station as NOAA writes it."""


@dataclass(frozen=True, slots=True)
class StationNormals:
    """The lows of one station, product and period.

    ``lows`` has, by day (`MM-DD`) of the morning, the normal of the low and its spread in °C.
    ``spread_from`` says where the spread is from, empty where there is none. ``completeness`` is
    NOAA's flag (C, S, R, P, Q, E) of the least complete day; ``years`` the fewest years behind a
    value. ``period_shown`` says whether the file shows its period; ``records`` is their number.
    ``file`` is its name as seen from the logbook, None for those that come with the program.
    """

    station: str
    name: str
    latitude: float | None
    longitude: float | None
    elevation_m: float | None
    product: Product
    period: str
    lows: dict[str, Low]
    spread_from: str
    completeness: str = ""
    years: int | None = None
    period_shown: bool = True
    records: int = 0
    file: str | None = None

    @property
    def key(self) -> tuple[str, str, str]:
        """Station, product and period."""
        return self.station, self.product, self.period

    @property
    def kind(self) -> str:
        """What the lows are: published, curve or hours."""
        return KINDS[self.product]


@dataclass(frozen=True, slots=True)
class _Line:
    number: int
    cells: list[str]


def read_station_file(name: str, data: bytes) -> StationNormals:
    """Read one file; ``name`` is looked at only where the columns leave the period open.

    Raises NotNormalsError where it is broken, cut short or of another kind, NoLowError where it has
    no normal of the low.
    """
    try:
        text = decode(data)
    except UnreadableError as error:
        raise NotNormalsError(str(error)) from error
    reader = _lines(text)
    first = next(reader, None)
    if first is None:
        raise NotNormalsError("is empty")
    layout = layout_of(first.cells)
    lines = _whole(list(reader), layout, len(first.cells))
    lows, spread_from = _lows(layout, lines)
    if not lows:
        raise NoLowError(
            "every normal of the low is missing in this file; take another product "
            "or a station nearby"
        )
    usual = [line for at, line in lines if LEAP_DAY not in at]
    completeness, behind_lows = _completeness(usual, layout.low), layout.low.years_at
    years = _years(usual, () if behind_lows is None else (behind_lows,))
    most_years = max(_years(usual, layout.years_at), default=None)
    period, shown = _period(layout, completeness, most_years, name)
    cells = lines[0][1].cells
    return StationNormals(
        station=layout.text(cells, "STATION"),
        name=layout.text(cells, "NAME") or layout.text(cells, "STATION"),
        latitude=_within(layout.text(cells, "LATITUDE"), 90),
        longitude=_within(layout.text(cells, "LONGITUDE"), 180),
        elevation_m=_within(layout.text(cells, "ELEVATION"), 9000, -500),
        product=layout.product,
        period=period,
        lows=with_leap_day(lows),
        spread_from=spread_from,
        completeness=completeness,
        years=min(years, default=None),
        period_shown=shown,
        records=len(lines),
    )


def _lines(text: str) -> Iterator[_Line]:
    reader = csv.reader((line + "\n" for line in split_lines(text)), strict=True)
    try:
        for cells in reader:
            if cells:
                yield _Line(reader.line_num, cells)
    except csv.Error as error:
        raise NotNormalsError(
            f"cannot be read as CSV ({error}); is the download complete?", reader.line_num
        ) from error


def _whole(lines: list[_Line], layout: FileLayout, width: int) -> list[tuple[str, _Line]]:
    """The records with their dates; raises NotNormalsError unless they make up one whole year."""
    stations = set()
    by_date: dict[str, _Line] = {}
    pattern = _DATES[layout.product]
    for line in lines:
        if len(line.cells) != width:
            raise NotNormalsError(
                f"expected {width} cells, got {len(line.cells)}; is the download complete?",
                line.number,
            )
        date = layout.text(line.cells, "DATE")
        if not pattern.fullmatch(date) or not _real(date):
            raise NotNormalsError(
                f'DATE: expected one as NOAA writes it, got "{date[:20]}"; was '
                "the file saved by a spreadsheet?",
                line.number,
            )
        if date in by_date:
            raise NotNormalsError(f"DATE: {date} stands here twice", line.number)
        by_date[date] = line
        stations.add(layout.text(line.cells, "STATION"))
    if len(stations) > 1:
        raise NotNormalsError("holds several stations; take NOAA's by-station files")
    wanted = _RECORDS[layout.product]
    if len(by_date) not in wanted:
        expected = " or ".join(f"{number:,}" for number in wanted)
        raise NotNormalsError(
            f"expected {expected} {layout.product} records, got {len(by_date):,}; "
            "is the download complete?"
        )
    station = stations.pop()
    if not STATION.fullmatch(station):
        raise NotNormalsError(
            f'STATION: expected an identifier of 11 letters and digits, got "{station[:20]}"'
        )
    return sorted(by_date.items())


def _real(date: str) -> bool:
    if len(date) == 2:
        return "01" <= date <= "12"
    return date[:5] in _REAL_DAYS and (len(date) == 5 or date[6:8] < "24")


_REAL_DAYS = frozenset(LEAP_DAYS)


def _lows(layout: FileLayout, lines: list[tuple[str, _Line]]) -> tuple[dict[str, Low], str]:
    """The lows in °C by day, and where their spread is from."""
    if layout.product == "hourly":
        lows, spread_from = nightly_lows(_hours(layout, lines)), "hourly percentiles"
    elif layout.product == "monthly":
        lows, spread_from = _from_months(layout, lines), ""
    else:
        lows, spread_from = dict(_from_days(layout, lines)), "published"
    celsius = {
        day: (
            fahrenheit_to_celsius(low),
            None if spread is None else fahrenheit_step_to_celsius(spread),
        )
        for day, (low, spread) in lows.items()
    }
    known = any(spread is not None for _, spread in celsius.values())
    return celsius, spread_from if known else ""


def _from_days(layout: FileLayout, lines: list[tuple[str, _Line]]) -> Iterator[tuple[str, Low]]:
    for day, line in lines:
        low = layout.low.fahrenheit(line.cells, line.number)
        spread = layout.spread and layout.spread.fahrenheit(line.cells, line.number, lowest=0)
        if low is not None:
            yield day, (low, spread or None)


def _from_months(layout: FileLayout, lines: list[tuple[str, _Line]]) -> dict[str, Low]:
    months = [layout.low.fahrenheit(line.cells, line.number) for _, line in lines]
    known = [low for low in months if low is not None]
    if not known:
        return {}
    if len(known) < len(months):
        raise NoLowError(
            "some months are without a normal of the low; take another product or a station nearby"
        )
    return {day: (low, None) for day, low in days_from_months(known).items()}


def _hours(layout: FileLayout, lines: list[tuple[str, _Line]]) -> dict[str, dict[int, Hour]]:
    days: dict[str, dict[int, Hour]] = {}
    for at, line in lines:
        values = [
            element.fahrenheit(line.cells, line.number)
            for element in (layout.low, *layout.percentiles)
        ]
        days.setdefault(at[:5], {})[int(at[6:8])] = Hour(*values)
    return days


def _completeness(lines: Iterable[_Line], element: Element) -> str:
    """NOAA's flag of the least complete value."""
    at = element.completeness_at
    flags = set() if at is None else {line.cells[at].strip() for line in lines}
    return max(flags & {*_COMPLETENESS}, key=_COMPLETENESS.index, default="")


def _years(lines: Iterable[_Line], places: Iterable[int]) -> set[int]:
    """How many years are behind the values, as cells at these places say."""
    texts = {line.cells[at].strip() for line in lines for at in places}
    return {int(text) for text in texts if text.isdigit()}


def _period(
    layout: FileLayout, completeness: str, most_years: int | None, name: str
) -> tuple[str, bool]:
    """The period, and whether the file itself shows it.

    1991-2020 and 2006-2020 have the same columns and, in NOAA's folders, the same names, but no
    more than 15 years can be behind any value of the latter. A standard low (flag S) of the former
    has 24 or more; and where some value has all of the 15 years, while none has more, they are
    taken for the 15. Only a younger station leaves it open.
    """
    if layout.old:
        return "1981-2010", True
    if most_years is not None and most_years > _FIFTEEN_YEARS:
        return "1991-2020", True
    if most_years is not None and completeness in ("C", "S"):
        return "2006-2020", True
    hinted = next((period for period in PERIODS[:2] if period in name), None)
    if hinted is None and most_years == _FIFTEEN_YEARS:
        return "2006-2020", True
    return hinted or "1991-2020", hinted is not None


def _within(text: str, high: float, low: float | None = None) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if (-high if low is None else low) <= value <= high else None
