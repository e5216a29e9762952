"""The panel of a trip's rain and wind: a bar a day for the rain, a figure a day for the wind.

A day of which nothing is noted stays blank: not noted is not dry.
"""

from collections.abc import Sequence
from typing import Any

import altair as alt

from ...display import words
from ...display.charts import tips
from ...display.figure import chart_of
from ...display.theme import INK, MAIN, SOFT_INK
from ...display.words import Display, number, rain_scale, speed_scale
from ...store.rows import Record
from .trip_frame import DAY_FROM_H, DAY_TO_H, TripFrame

_HEIGHT = 46
_BARS_PX = 18
_WIND_PX = 7
_FIGURE_PX = 26
_LEAST_MM = 10.0


def has_weather(weather: Sequence[Record]) -> bool:
    """Whether there is rain or wind to draw; dry days alone are told in words."""
    return any(row["wet"] or row["rain_mm"] or row["wind_kmh"] is not None for row in weather)


def falls(weather: Sequence[Record]) -> str:
    """Return "rain", or "rain or snow" where of one of the wet days snow is noted.

    Of such a day nobody knows how much was snow, nor whether it lay there before.
    """
    snow = any(row.get("snow") and row["wet"] for row in weather)
    return "rain or snow" if snow else "rain"


def weather_panel(weather: Sequence[Record], display: Display, frame: TripFrame) -> Any:
    """Return the panel of rows of `trip_weather`; there must be some (`has_weather`)."""
    rain, wind = rain_scale(display), speed_scale(display)
    rows = [
        {
            "from": 24 * day + DAY_FROM_H,
            "until": 24 * day + DAY_TO_H,
            "h": frame.day_centre(day),
            "v": rain.value(row["rain_mm"]) or 0.0,
            "base": 0,
            "rain": _rain(row, rain),
            "wind": "" if row["wind_kmh"] is None else wind.number(row["wind_kmh"]),
            "when": words.day(row["day"], year=False),
            "rained": _rain(row, rain, rain.unit) or words.NOT_KNOWN,
            "blew": wind.text(row["wind_kmh"]),
        }
        for row in weather
        if 0 <= (day := (row["day"] - frame.start).days) <= frame.nights
    ]
    every = frame.width / (frame.nights + 1) >= _FIGURE_PX
    if not every:
        _most_only(rows, weather)
    rains = any(row["rain"] for row in rows)
    blows = any(row["wind"] for row in rows)
    # A drop is not to look like a downpour.
    most = max([rain.value(_LEAST_MM) or 0.0, *(row["v"] for row in rows)])
    y = frame.y("v:Q", (0, most * _HEIGHT / _BARS_PX), labels=False, ticks=False, grid=False)
    base = chart_of(rows).encode(y=y)
    what = falls(weather).capitalize()
    about = tips(when="Day", rained=what, blew="Wind")
    text = base.encode(x=frame.x())
    layers = [
        base.mark_bar(color=MAIN, cornerRadius=1).encode(
            x=frame.x("from:Q"), x2=alt.X2("until"), y2=alt.Y2("base"), tooltip=about
        ),
        text.mark_text(dy=-7, fill=INK).encode(text="rain:N"),
        text.mark_text(fill=SOFT_INK).encode(y=alt.value(_WIND_PX), text="wind:N"),
    ]
    parts = [
        *([f"{what} ({'bars, ' if blows else ''}{rain.unit})"] if rains else []),
        *([f"wind ({'figures on top, ' if rains else ''}{wind.unit})"] if blows else []),
    ]
    title = " and ".join(parts)
    return frame.panel(f"{title[:1].upper()}{title[1:]}", _HEIGHT, *layers)


def _rain(row: Record, scale: words.Scale, unit: str = "") -> str:
    """Return the rain as a figure, "wet" or "dry" where it has none; nothing where not noted."""
    if row["rain_mm"] is not None:
        value = scale.value(row["rain_mm"]) or 0.0
        shown = number(value, scale.decimals)
        shown = shown.rstrip("0").rstrip(".") if "." in shown else shown
        return f"{shown}{words.SPACE}{unit}" if unit else shown
    return "" if row["wet"] is None else "wet" if row["wet"] else "dry"


def _most_only(rows: list[dict[str, Any]], weather: Sequence[Record]) -> None:
    """Where days have no room for figures: those of the wettest and the windiest day alone."""
    wettest = max(rows, key=lambda row: row["v"])
    speeds = {words.day(r["day"], year=False): r["wind_kmh"] or 0.0 for r in weather}
    windiest = max(rows, key=lambda row: speeds[row["when"]])
    for row in rows:
        row["rain"] = row["rain"] if row is wettest else ""
        row["wind"] = row["wind"] if row is windiest else ""
