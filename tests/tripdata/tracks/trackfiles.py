"""Track files as devices write them, made point by point."""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple

from scipy.special import ellipe
from tarebook.tripdata.normals.distance import geodesic_km
from tarebook.tripdata.tracks import Track, TrackDay

NAMESPACE = "http://www.topografix.com/GPX/"
START = datetime(2026, 5, 1, 8, tzinfo=UTC)
STEP_DEG = 0.0001
"""Northward 11.1 m on the ellipsoid: at a point each 8 s, 5 km/h."""
STEP_S = 8
MAY_1 = date(2026, 5, 1)
STEP_KM = geodesic_km(47, 8, 47 + STEP_DEG, 8)
EQUATOR_DEGREE_KM = 111.319490793
"""6378.137 km x pi / 180; the radius is that of WGS 84."""
QUADRANT_KM = 6378.137 * float(ellipe((2 - 1 / 298.257223563) / 298.257223563))
"""Equator to pole on WGS 84, by the complete elliptic integral of the second kind of e²."""


class Written(NamedTuple):
    """A point as text; None leaves its element out."""

    lat: str
    lon: str
    ele: str | None = None
    time: str | None = None


def stamp(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def walk(
    count: int = 100,
    start: datetime | None = START,
    *,
    lat: float = 47.0,
    lon: float = 8.0,
    heights: Sequence[float] | None = None,
    step_s: float = STEP_S,
) -> list[Written]:
    """A walk north at a steady pace; without a start it has no times, without heights none."""
    return [
        Written(
            f"{lat + n * STEP_DEG:.6f}",
            f"{lon:.6f}",
            None if heights is None else f"{heights[n]}",
            None if start is None else stamp(start + timedelta(seconds=n * step_s)),
        )
        for n in range(count)
    ]


def segment(points: Iterable[Written]) -> str:
    parts = []
    for point in points:
        ele = "" if point.ele is None else f"<ele>{point.ele}</ele>"
        time = "" if point.time is None else f"<time>{point.time}</time>"
        parts.append(f'<trkpt lat="{point.lat}" lon="{point.lon}">{ele}{time}</trkpt>')
    return f"<trkseg>{''.join(parts)}</trkseg>"


def track(*segments: Iterable[Written]) -> str:
    return f"<trk><name>a walk</name>{''.join(map(segment, segments))}</trk>"


def gpx(*parts: str, version: str = "1.1") -> bytes:
    space = f'xmlns="{NAMESPACE}{version.replace(".", "/")}"'
    body = "".join(parts)
    text = f'<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="{version}" {space}>{body}</gpx>'
    return text.encode("utf-8")


def only_day(result: Track) -> TrackDay:
    (day,) = result.days
    return day


def line(
    places: list[tuple[float, float]], step_s: float = 0, heights: list[float] | None = None
) -> bytes:
    """A track through places, a step each time, or without times."""
    return gpx(
        track(
            [
                Written(
                    f"{lat:.10f}",
                    f"{lon:.10f}",
                    None if heights is None else str(heights[n]),
                    stamp(START + timedelta(seconds=n * step_s)) if step_s else None,
                )
                for n, (lat, lon) in enumerate(places)
            ]
        )
    )
