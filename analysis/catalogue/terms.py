"""Every column of every analysis table: unit, meaning, and whether it may be missing.

The SQL of `sql/marts`, the tables, charts and documentation all name columns as they stand here.
"""

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "whole", "number", "flag", "date", "moment"]


@dataclass(frozen=True, slots=True)
class Term:
    """One output column. ``unit`` is empty where there is none; missing is empty or null."""

    name: str
    kind: Kind
    unit: str
    meaning: str
    nullable: bool = False


@dataclass(frozen=True, slots=True)
class Output:
    """One table that comes out: its name, what one row stands for, and its columns in order.

    ``view`` is the view that holds it; its rows are sorted by the first ``sorted_by`` columns.
    """

    name: str
    view: str
    grain: str
    terms: tuple[Term, ...]
    sorted_by: int

    @property
    def columns(self) -> tuple[str, ...]:
        """The names of the columns, in order."""
        return tuple(t.name for t in self.terms)


def _text(name: str, meaning: str, nullable: bool = False) -> Term:
    return Term(name, "text", "", meaning, nullable)


def _date(name: str, meaning: str, nullable: bool = False) -> Term:
    return Term(name, "date", "", meaning, nullable)


def _whole(name: str, meaning: str, nullable: bool = False, unit: str = "") -> Term:
    return Term(name, "whole", unit, meaning, nullable)


def _number(name: str, unit: str, meaning: str) -> Term:
    return Term(name, "number", unit, meaning, True)


_TRIP = _text("trip", "short name of the trip")
_SYSTEM = _text("system", "what the item is for")
_UNKNOWN = "missing where nothing of it is weighed or nothing weighed on me at the start"
_KINDS = (
    _number("base_g", "g", f"what was carried as base at the start; {_UNKNOWN}"),
    _number("worn_g", "g", f"what was worn at the start; {_UNKNOWN}"),
    _number("consumable_g", "g", f"food, fuel and the like at the start; {_UNKNOWN}"),
    _number(
        "vehicle_g",
        "g",
        f"what is bolted to, drives or is the bike or boat, at the start; {_UNKNOWN}",
    ),
)
_SCORE = _whole("sleep_score", "how one slept, 1 to 5, 5 best", True)
_WARMTH = _whole(
    "warmth",
    "how warm the night felt, -3 cold to +3 hot: the seven-point thermal sensation scale "
    "(ISO 10551; ANSI/ASHRAE 55)",
    True,
)
_LOW = _number("low_c", "°C", "lowest camp reading of the night, else the low of the weather row")

TRIPS = Output("trips", "trips", "trip, plans among them", (
    _TRIP,
    _date("start_on", "first day"),
    _date("end_on", "last day"),
    _whole("nights", "end less start in days"),
    _text("season", "meteorological season of the start and its year; December counts to the next "
          "year's winter, and south of the equator the names swap"),
    _text("mode", "how one travelled: foot, bike, ebike, paddle or mixed", True),
    Term("plan", "flag", "", "a trip to come: weighed and forecast, no history"),
    *_KINDS,
    _number("skin_out_g", "g", "base, worn and consumable together, of what is known"),
    _text("weight_class", "by base weight, under 5, 10 and 20 lb (common practice, no published "
          "source); missing where something is unweighed or the trip has no night", True),
    _whole("unweighed", "different items on me at the start that are not weighed: sums over them "
           "are lower bounds"),
    _number("distance_km", "km", "distance of all days that have one"),
    _number("ascent_m", "m", "ascent of all days that have one"),
    _number("coldest_night_c", "°C", "the lowest low of the trip's nights; missing for plans"),
    _whole("items_carried", "different items that came along, whoever carried them"),
    _whole("items_used", "different items that were used; missing unless the use record is full",
           True),
    _number("unused_g", "g", "what was on me at the start and not used, of whatever kind; missing "
            "unless the use record is full"),
    _number("unused_insurance_g", "g", "the part of unused_g that is carried in the hope of not "
            "needing it"),
    _whole("failures", "failures noted"),
    _whole("set_aside", "records of the trip that could not be loaded"),
    _text("title", "title of the trip"),
    _text("use_record", "how far use was noted: full, partial or none"),
    _number("low_anomaly_c", "°C", "mean of low less normal low over the nights that have both; "
            "missing for plans"),
), 1)  # fmt: skip

TRIP_SYSTEMS = Output(
    "trip_systems",
    "trip_systems",
    "trip and system of which anything came along, plans among them",
    (
        _TRIP,
        _SYSTEM,
        *_KINDS,
        _whole("items", "different items of the system that came along, whoever carried them"),
    ),
    2,
)

ITEMS = Output(
    "items",
    "items",
    "item carried at least once on a trip that is not a plan",
    (
        _text("item", "short name of the item"),
        _text("name", "its name"),
        _SYSTEM,
        _text("carried_as", "base, worn, consumable or vehicle, as gear.csv says today"),
        _number("weight_g", "g", "weight of one piece today: the latest weighing, else gear.csv's"),
        _whole("trips_carried", "trips it came along on, whoever carried it"),
        _whole("trips_logged", "those of them on which it is known whether it was used"),
        _whole("trips_used", "those of the logged trips on which it was used"),
        _whole("times_used", "times it was used on the logged trips"),
        _whole("nights_carried", "nights it was there for, each counted once a trip"),
        _number(
            "hauled_kg_km",
            "kg km",
            "weight x pieces x distance of the days it came along on me; "
            "missing where none of its trips has a distance or none of its rows is weighed",
        ),
        _date("last_carried_on", "last day it came along"),
        _date(
            "last_used_on",
            "last day it was used on; where the day is not noted, the last day it "
            "came along on the last trip it was used on",
            True,
        ),
        Term("never_used", "flag", "", "logged on at least one trip and used on none"),
        Term("insurance", "flag", "", "carried in the hope of not needing it"),
    ),
    1,
)

_SOURCE = _text(
    "normal_source",
    "product and period of the normals, whether they are the packaged "
    "ones, and those of the spread of single nights where it is of others",
    True,
)

NIGHTS = Output("nights", "nights", "trip and night, of every trip that is not a plan", (
    _TRIP,
    _date("night", "date on which the night began; it lasts from noon to noon"),
    _LOW,
    _text("low_source", "where the low is from: logger, logger_part (no reading between 00:00 and "
          "08:00) or weather", True),
    _number("normal_low_c", "°C", "normal low of that night at the station that serves the trip, "
            "brought to the height of the camp"),
    _number("low_anomaly_c", "°C", "low less normal low"),
    _SCORE,
    _WARMTH,
    _number("normal_low_sd_c", "°C", "standard deviation of single lows around their normal on "
            "that date"),
    _number("low_percentile", "%", "share of nights of that date that are as cold or colder, by "
            "the season's spread and skew"),
    _text("station", "weather station whose normals these are", True),
    _SOURCE,
), 2)  # fmt: skip

_STATION = _text("station", "identifier of the weather station")

NORMALS = Output("normals", "known_normals", "station, product and period of which normals are "
                 "known", (
    _STATION,
    _text("product", "daily, monthly or hourly"),
    _text("period", "the years behind them"),
    _text("name", "name of the station"),
    _text("kind", "published (daily lows), curve (days from months) or hours (lows from hourly "
          "normals, the weaker kind)"),
    Term("counts", "flag", "", "the ones that are used of their station: a file's before the "
         "packaged, hours last, daily before monthly where a daily file has the spread of single "
         "nights, the newer period"),
    Term("spread_counts", "flag", "", "the ones whose spread of single nights is used: the same, "
         "or where they have none the best of the others of the station"),
    _text("spread_from", "where the spread of single nights is from; missing where it is not "
          "known", True),
    _text("completeness", "NOAA's flag of the least complete value: C, S, R, P, Q or E", True),
    _whole("years", "fewest years behind a value", True),
    _number("latitude", "°", "degrees north"),
    _number("longitude", "°", "degrees east"),
    _number("elevation_m", "m", "height above the sea"),
    _text("file", "file they are from; missing for the packaged ones", True),
), 3)  # fmt: skip

TRIP_NORMALS = Output(
    "trip_normals",
    "trip_normals",
    "trip and weather station that is near, "
    "nearest or named, plans among them; a trip without a place has one row "
    "without a station",
    (
        _TRIP,
        _text("station", "identifier of the weather station", True),
        _text("name", "name of the station", True),
        _number("distance_km", "km", "geodesic distance of camp and station"),
        _number("height_difference_m", "m", "height of the camp less that of the station"),
        Term("serves", "flag", "", "the station whose normals stand beside the trip's nights"),
    ),
    2,
)

OUTLOOK = Output("outlook", "", "night to come at a place, or of a trip", (
    _date("night", "date on which the night begins"),
    _number("normal_low_c", "°C", "normal low, brought to the height of the place"),
    _number("sd_c", "°C", "standard deviation of single lows around it"),
    _number("p_below", "", "chance of a low below below_c that night, by the season's spread and "
            "skew; missing also where it would be rare, more than 2.5 standard deviations below "
            "the normal"),
    _number("p_any_below", "", "chance that at least one of the nights falls below it, being alike "
            "(AR(1), correlation .68); missing also where it would be rare on each of them; the "
            "same on every row"),
    _number("p_any_low", "", "lower end of its range: correlations from .6 to .75, normals off by "
            ".3 standard deviations"),
    _number("p_any_high", "", "upper end of its range"),
    _number("below_c", "°C", "the temperature asked about"),
    _STATION,
    _number("distance_km", "km", "geodesic distance of the station"),
    _number("height_difference_m", "m", "height of the place less that of the station"),
    _SOURCE,
), 1)  # fmt: skip

SET_ASIDE = Output(
    "set_aside",
    "set_aside_rows",
    "problem of a record that was set aside",
    (
        _text("file", "file, as seen from the logbook's folder"),
        _whole("line", "line of the file on which the record begins"),
        _text("column", "column of the problem"),
        _text("value", "what stands there"),
        _text("problem", "what was expected"),
        _text("nearest", "the nearest known name", True),
        _text("raw", "the record as it stands in the file"),
        _text("trip", "short name of the trip it belongs to", True),
    ),
    3,
)

OUTPUTS = {
    t.name: t for t in (TRIPS, TRIP_SYSTEMS, ITEMS, NIGHTS, NORMALS, TRIP_NORMALS, SET_ASIDE)
}
"""The tables of the store that `tarebook table` prints, by name; OUTLOOK is asked for."""


def term(column: str) -> Term:
    """What a column of that name means, in the first table that has it. KeyError where none has."""
    for output in OUTPUTS.values():
        for known in output.terms:
            if known.name == column:
                return known
    raise KeyError(column)
