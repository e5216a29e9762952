"""Which of NOAA's by-station products a file is, by its columns, and how it writes its values.

Layouts. 1991-2020 and 2006-2020: degrees Fahrenheit with one decimal; beside each element columns
whose names begin with meas_flag_, comp_flag_ and years_. 1981-2010: whole tenths of a degree
Fahrenheit; beside each element one column whose name ends in _ATTRIBUTES. Source: NOAA NCEI, the
readme files and documentation beside each product (Readme_By-Variable_By-Station_Normals_Files.txt;
readme.txt of 1981-2010).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Product = Literal["daily", "monthly", "hourly"]

LOWS: dict[str, Product] = {
    "DLY-TMIN-NORMAL": "daily",
    "MLY-TMIN-NORMAL": "monthly",
    "HLY-TEMP-NORMAL": "hourly",
}
"""The element that gives the low, by product; the first that a file has counts."""

# The standard deviation in monthly files is that of monthly means, not of nights: of no use here.
SPREADS = {"DLY-TMIN-NORMAL": "DLY-TMIN-STDDEV"}
PERCENTILES = {"HLY-TEMP-NORMAL": ("HLY-TEMP-10PCTL", "HLY-TEMP-90PCTL")}

_FAMILIES = ("DLY-", "MLY-", "HLY-")
_YEARLY = ("ANN-", "DJF-", "MAM-", "JJA-", "SON-")
SPECIAL = frozenset({-9999.0, -8888.0, -7777.0, -6666.0, -5555.0})
"""Missing; no such day; not 0 but rounds to it; undefined; inconsistent: never temperatures."""
REFUSED_FLAGS = frozenset("MVWYZ")
"""Missing; too cold to compute; not used; too few values; at odds with another value."""
_COLDEST_F, _WARMEST_F = -130.0, 135.0


class NotNormalsError(Exception):
    """The file is broken, or no normals file at all; the message says why, ``line`` where."""

    def __init__(self, message: str, line: int = 0) -> None:
        super().__init__(message)
        self.line = line


class NoLowError(Exception):
    """A normals file as it should be, without what is needed; the message says what is missing."""


@dataclass(frozen=True, slots=True)
class Element:
    """One element of a file: where its values and its flags stand, and how many make a degree."""

    name: str
    at: int
    flag_at: int | None
    completeness_at: int | None
    years_at: int | None
    per_degree: float

    def fahrenheit(
        self, cells: Sequence[str], line: int, lowest: float = _COLDEST_F
    ) -> float | None:
        """The value in degrees Fahrenheit; None where it is blank, special or flagged.

        Raises NotNormalsError where it is no temperature.
        """
        text = cells[self.at].strip()
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if value in SPECIAL:
            return None
        if self.flag_at is not None and cells[self.flag_at].strip() in REFUSED_FLAGS:
            return None
        degrees = value / self.per_degree
        if not lowest <= degrees <= _WARMEST_F:
            unit = "tenths of °F" if self.per_degree == 10 else "°F"
            raise NotNormalsError(
                f'{self.name}: expected a temperature in {unit}, got "{text[:20]}"', line
            )
        return degrees


@dataclass(frozen=True, slots=True)
class FileLayout:
    """What a file is: its product, its elements, and whether it is of the 1981-2010 layout.

    ``years_at``: where the years behind the values of any element stand.
    """

    product: Product
    low: Element
    spread: Element | None
    percentiles: tuple[Element, ...]
    old: bool
    places: dict[str, int]
    years_at: tuple[int, ...] = ()

    def text(self, cells: Sequence[str], column: str) -> str:
        """The trimmed cell of a column, empty where the file does not have it."""
        at = self.places.get(column)
        return "" if at is None else cells[at].strip()


def layout_of(header: Sequence[str]) -> FileLayout:
    """The layout of a file by its header.

    Raises NotNormalsError where it is none of NOAA's by-station normals files, NoLowError where it
    is one that cannot tell the low of a night.
    """
    places = {name.strip(): at for at, name in enumerate(header)}
    if any(name.startswith(_YEARLY) for name in places):
        raise NoLowError(
            "annual and seasonal normals do not tell the low of a night; take the daily file of "
            "the station"
        )
    low = next((name for name in LOWS if name in places), None)
    if "STATION" not in places or "DATE" not in places:
        raise NotNormalsError(_foreign(places))
    if low is None:
        if any(name.startswith(_FAMILIES) for name in places):
            raise NoLowError(
                "the station has no normal of the low in this file; take another "
                "product or a station nearby"
            )
        raise NotNormalsError(_foreign(places))
    old = f"{low}_ATTRIBUTES" in places
    if not old and f"comp_flag_{low}" not in places:
        raise NotNormalsError(
            f"{low} stands without its flags (comp_flag_{low} or {low}_ATTRIBUTES); put the file "
            "here as NOAA publishes it"
        )
    spread = SPREADS.get(low, "")
    pair = PERCENTILES.get(low, ())
    percentiles = pair if places.keys() >= {*pair} else ()
    return FileLayout(
        product=LOWS[low],
        low=_element(low, places, old),
        spread=_element(spread, places, old) if spread in places else None,
        percentiles=tuple(_element(name, places, old) for name in percentiles),
        old=old,
        places=places,
        years_at=tuple(at for name, at in places.items() if name.startswith("years_")),
    )


def _element(name: str, places: dict[str, int], old: bool) -> Element:
    if old:
        return Element(name, places[name], None, places.get(f"{name}_ATTRIBUTES"), None, 10.0)
    flag, completeness, years = (
        places.get(f"{kind}_{name}") for kind in ("meas_flag", "comp_flag", "years")
    )
    return Element(name, places[name], flag, completeness, years, 1.0)


def _foreign(places: dict[str, int]) -> str:
    if "TMIN" in places and "DATE" in places:
        return (
            "these are observations, not normals; take the station's file from NOAA's daily normals"
        )
    return (
        "not a by-station normals file of NOAA's: expected the columns STATION, DATE and "
        f"{', '.join(list(LOWS)[:-1])} or {list(LOWS)[-1]}"
    )
