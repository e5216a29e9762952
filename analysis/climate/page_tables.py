"""The tables of nights in context."""

from collections.abc import Sequence
from dataclasses import asdict

from ..display import tables, words
from ..display.tables import Column, Table
from ..display.words import Display, temperature_scale
from .normals import NightContext
from .outlook import OutlookNight
from .station_choice import StationChoice
from .station_words import station_name
from .words import night_chance, of_a_hundred

_NIGHT = Column("night", "Night of", write=lambda when: words.day(when, year=False))


def night_table(nights: Sequence[NightContext], display: Display) -> Table:
    """Each night: its low, the usual low, the difference, how many of 100 are as cold."""
    scale = temperature_scale(display)
    columns: list[Column] = [
        _NIGHT,
        tables.measured("low_c", "Low", scale),
        tables.measured("normal_low_c", "Usual", scale),
        tables.measured("anomaly_c", "Difference", words.temperature_step(display), signed=True),
    ]
    if any(night.percentile is not None for night in nights):
        columns.append(Column("percentile", "Colder nights", "in 100", "right", of_a_hundred))
    return Table.of(columns, nights, "night", fold_after=7)


def outlook_table(nights: Sequence[OutlookNight], below: str, display: Display) -> Table:
    """Each night to come: the usual low, and the chance of one below the threshold, as told."""
    columns = (
        _NIGHT,
        tables.measured("normal_low_c", "Usual low", temperature_scale(display)),
        tables.right("chance", f"Below {below}", of=night_chance),
    )
    return Table.of(columns, nights, "night", fold_after=7).without_blank("chance")


def too_cold_table(
    nights: Sequence[OutlookNight], too_cold: Sequence[float], display: Display
) -> Table:
    """Each night to come: the usual low, and the chance that it is too cold in what comes along."""
    rows = [
        {"night": night.night, "normal_low_c": night.normal_low_c, "too_cold": chance}
        for night, chance in zip(nights, too_cold, strict=True)
    ]
    columns = (
        _NIGHT,
        tables.measured("normal_low_c", "Usual low", temperature_scale(display)),
        Column("too_cold", "Too cold", align="right", write=words.one_in),
    )
    return Table.of(columns, rows, "night", fold_after=7)


def station_table(served: Sequence[tuple[str, StationChoice]], display: Display) -> Table:
    """Each trip, by its title: which station serves it, how far away, how much lower or higher."""
    rows = [{"trip": title, **asdict(station)} for title, station in served]
    columns = (
        tables.text("trip", "Trip"),
        Column("name", "Station", write=station_name),
        tables.measured("distance_km", "Away", words.distance_scale(display, 0)),
        tables.measured(
            "height_difference_m", "Camp above it", words.height_scale(display), signed=True
        ),
    )
    return Table.of(columns, rows, "trip")
