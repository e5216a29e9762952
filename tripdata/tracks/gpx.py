"""From the bytes of a GPX file to its points.

GPX 1.0 and 1.1 as their schemas have them (https://www.topografix.com/GPX/1/0/gpx.xsd and
/GPX/1/1/gpx.xsd): tracks hold segments of points that were recorded, routes hold points to be
followed. A segment ends where recording was broken off. Times are UTC.
"""

import math
import re
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple
from xml.parsers import expat

from ..errors import TarebookError
from ..foreign_files import bytes_of
from ..names import shown

LARGEST_FILE_BYTES = 64_000_000
"""Some three weeks of a point a second, by day."""
_MOST_POINTS = 500_000
_DEEPEST = 64
_LONGEST_TEXT = 64
_LOWEST_M, _HIGHEST_M = -1000.0, 9000.0
"""Heights of land and a margin; devices write -32768 and the like for none."""
_FIRST_YEAR, _LAST_YEAR = 1981, 2199
"""Before its first fix a receiver's clock stands at 1970 or at the first day of GPS, 1980-01-06."""
_NUMBER = re.compile(r"[+-]?\d+(\.\d*)?([eE][+-]?\d{1,3})?|[+-]?\.\d+", re.ASCII)
_TRUNCATED = {"no element found", "unclosed token", "partial character", "unclosed CDATA section"}
_NO_GPX = "is no GPX file; export the track as GPX"
_POINT = "gpx/trk/trkseg/trkpt"
_PATHS = {
    "gpx",
    "gpx/trk",
    "gpx/trk/trkseg",
    _POINT,
    f"{_POINT}/ele",
    f"{_POINT}/time",
    "gpx/rte",
    "gpx/rte/rtept",
}


class TrackError(TarebookError):
    """A file of tracks cannot be read, in words to stand behind its name."""


class Point(NamedTuple):
    """A point as recorded: degrees north and east, metres, UTC; None for what is not known.

    ``place`` is False where it has no position that can be read; then both degrees are 0.
    """

    latitude: float
    longitude: float
    height_m: float | None
    at: datetime | None
    place: bool = True


@dataclass(frozen=True, slots=True)
class Gpx:
    """What a file holds: the points of each segment of its tracks, and how much besides.

    ``name`` is the file's, empty where it has none. ``cut``: the file ends in the middle; what
    stands before is here. ``bad_times`` counts points whose time is there and is none that can be;
    ``bad_time`` is the first of them.
    """

    segments: tuple[tuple[Point, ...], ...]
    tracks: int = 0
    routes: int = 0
    route_points: int = 0
    cut: bool = False
    name: str = ""
    bad_times: int = 0
    bad_time: str = ""


def gpx_bytes(path: Path) -> bytes:
    """The content of a file, which must not be larger than a file of tracks can be.

    Raises TrackError where it cannot be read or is too large.
    """
    try:
        content = bytes_of(path, LARGEST_FILE_BYTES)
    except OSError as error:
        raise TrackError(f"cannot be read ({error.strerror})") from error
    return _bounded(content)


def _bounded(content: bytes) -> bytes:
    if len(content) > LARGEST_FILE_BYTES:
        most = f"{LARGEST_FILE_BYTES // 1_000_000} MB"
        raise TrackError(f"is larger than {most}; export each day by itself")
    return content


def parse_gpx(content: bytes, name: str = "") -> Gpx:
    """The points of a GPX file of that name.

    Raises TrackError where it is no GPX 1.0 or 1.1, is damaged, too large, or declares a document
    type or entities: those are refused before anything that they name is looked at.
    """
    reader = _Reader()
    parser = expat.ParserCreate("utf-8", namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.CharacterDataHandler = reader.text
    parser.StartDoctypeDeclHandler = _refuse_type
    parser.EntityDeclHandler = _refuse
    parser.ExternalEntityRefHandler = _refuse
    cut = False
    text = _as_utf8(_bounded(content))
    if not text.lstrip().startswith(b"<"):
        raise TrackError(_NO_GPX)
    try:
        parser.Parse(text, True)
    except expat.ExpatError as error:
        fault = expat.ErrorString(error.code)
        cut = fault in _TRUNCATED and bool(reader.points or any(reader.segments))
        if not cut:
            raise TrackError(_damage(fault, error.lineno, reader.begun)) from error
    return Gpx(
        tuple(s for s in [*reader.segments, tuple(reader.points)] if s),
        reader.tracks,
        reader.routes,
        reader.route_points,
        cut,
        name,
        reader.bad_times,
        reader.bad_time,
    )


def _damage(fault: str, line: int, begun: bool) -> str:
    """What is wrong with a file of which nothing is read."""
    if fault in _TRUNCATED:
        return "ends in the middle, before the first point of a track; export it again"
    return f"is damaged at line {line} ({fault})" if begun else _NO_GPX


def _refuse_type(name: str, *_: object) -> int:
    if name.lower() == "html":
        raise TrackError("is a web page, not a GPX file; download the GPX file itself")
    return _refuse()


def _refuse(*_: object) -> int:
    raise TrackError(
        "declares a document type (DOCTYPE), which no GPX file needs and some abuse; not read"
    )


def _as_utf8(content: bytes) -> bytes:
    """The file in UTF-8, whatever it says of itself: all that is read of it is ASCII."""
    if not content.strip():
        raise TrackError("is empty")
    if content[:2] == b"\x1f\x8b" or content[:2] == b"PK":
        raise TrackError("is compressed; unpack it first")
    utf16 = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16", b"<\0": "utf-16-le", b"\0<": "utf-16-be"}
    encodings = [utf16[content[:2]]] if content[:2] in utf16 else ["utf-8-sig", "iso-8859-1"]
    for encoding in encodings:
        with suppress(UnicodeDecodeError):
            text = content.decode(encoding)
            if "\0" in text:
                break
            return text.encode("utf-8")
    raise TrackError(_NO_GPX)


@dataclass(slots=True)
class _Reader:
    """What expat calls: it keeps points and counts, and knows where in the file it stands."""

    segments: list[tuple[Point, ...]] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
    tracks: int = 0
    routes: int = 0
    route_points: int = 0
    bad_times: int = 0
    bad_time: str = ""
    begun: bool = False
    _space: str = ""
    _where: list[str] = field(default_factory=list)
    _count: int = 0
    _place: tuple[float, float] | None = None
    _texts: dict[str, str] = field(default_factory=dict)

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        space, _, local = name.rpartition(" ")
        if not self._where:
            self._root(space, local, attributes)
        if len(self._where) >= _DEEPEST:
            raise TrackError("has elements nested deeper than any GPX file; not read")
        # Elements of other makers may stand anywhere and be called the same.
        above = self._where[-1] + "/" if self._where else ""
        path = above + local if space == self._space else ""
        path = path if path in _PATHS else ""
        self._where.append(path)
        if path == _POINT:
            self._place = _place(attributes)
            self._texts = {}
        self.tracks += path == "gpx/trk"
        self.routes += path == "gpx/rte"
        self.route_points += path == "gpx/rte/rtept"

    def _root(self, space: str, local: str, attributes: dict[str, str]) -> None:
        self.begun = True
        if local != "gpx":
            raise TrackError(f"is no GPX file (it begins with {shown(local)}); export it as GPX")
        version = attributes.get("version", "").strip()
        if version not in ("", "1.0", "1.1"):
            raise TrackError(f"expected GPX 1.0 or 1.1, got version {shown(version)}")
        self._space = space

    def text(self, text: str) -> None:
        """Text of the element that is open."""
        path = self._where[-1] if self._where else ""
        if path.startswith(_POINT + "/"):
            name = path.rpartition("/")[2]
            self._texts[name] = (self._texts.get(name, "") + text)[: _LONGEST_TEXT + 1]

    def end(self, _: str) -> None:
        """An element ends."""
        path = self._where.pop()
        if path == _POINT:
            self._count += 1
            if self._count > _MOST_POINTS:
                raise TrackError(f"has more than {_MOST_POINTS:,} points; export each day alone")
            height = _height_m(self._texts.get("ele", ""))
            time = self._texts.get("time", "").strip()
            at = _moment(time)
            if time and at is None:
                self.bad_times += 1
                self.bad_time = self.bad_time or time
            self.points.append(Point(*self._place or (0.0, 0.0), height, at, bool(self._place)))
        elif path == "gpx/trk/trkseg":
            self.segments.append(tuple(self.points))
            self.points = []


def _number(text: str) -> float | None:
    text = text.strip()
    if len(text) > _LONGEST_TEXT or not _NUMBER.fullmatch(text):
        return None
    value = float(text)
    return value if math.isfinite(value) else None


def _place(attributes: dict[str, str]) -> tuple[float, float] | None:
    north, east = _number(attributes.get("lat", "")), _number(attributes.get("lon", ""))
    if north is None or east is None or abs(north) > 90 or abs(east) > 180:
        return None
    return north, east


def _height_m(text: str) -> float | None:
    """A height; exactly 0 is what many devices write for none, so it is none."""
    height = _number(text)
    return height if height and _LOWEST_M <= height <= _HIGHEST_M else None


def _moment(text: str) -> datetime | None:
    """A time in UTC, which one without an offset is; None where it is no time that can be."""
    if not 19 <= len(text) <= _LONGEST_TEXT or text[10] not in "Tt ":
        return None
    leap = text[17:19] == "60"
    try:
        at = datetime.fromisoformat(text[:17] + "59" + text[19:] if leap else text)
        at = at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
    except (ValueError, OverflowError):
        return None
    at += timedelta(seconds=leap)
    return at if _FIRST_YEAR <= at.year <= _LAST_YEAR else None
