"""From files of tracks to days: what is used of them, what is left out and why."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo

from ..errors import QuestionError
from ..moments import time_zone
from ..names import shown
from .days import track_days
from .fixes import Fix, Piece, forward, runs_backward, without_gaps, without_jumps
from .gpx import Gpx, Point, parse_gpx
from .results import Reason, Track
from .speeds import top_kmh

_CLOCK_BEHIND_SUN = timedelta(hours=-2)
_CLOCK_AHEAD_OF_SUN = timedelta(hours=3.5)
"""How far the clocks of the world stand from the sun's, summer time included, places beside the
date line apart (IANA time zone database; from memory)."""
_Counts = defaultdict[date | None, Counter[Reason]]


def read_track(content: bytes, timezone: str = "", mode: str | None = None) -> Track:
    """What a GPX file says of each day.

    ``timezone`` is an IANA name by which days are told apart; without one they are those of UTC.
    ``mode`` is one of the contract's, and says which speed is a jump. Raises TrackError where the
    file cannot be read, QuestionError where there is no such time zone.
    """
    return measure([parse_gpx(content)], timezone, mode)


def measure(files: Sequence[Gpx], timezone: str = "", mode: str | None = None) -> Track:
    """The same of several files, of which what two have recorded counts once.

    Raises QuestionError where there is no such time zone.
    """
    zone, top = _zone(timezone), top_kmh(mode)
    left_out: _Counts = defaultdict(Counter)
    seen: set[tuple[datetime, float, float]] = set()
    pieces: list[Piece] = []
    turned = 0
    for segment in (segment for file in files for segment in file.segments):
        fixes = _without_doubles(_fixes(segment, zone, left_out), seen, left_out)
        if runs_backward(fixes):
            fixes, turned = fixes[::-1], turned + 1
        good, backward = forward(fixes)
        _leave_out(backward, "backward", left_out)
        for stretch in without_gaps(good):
            parts, jumps = without_jumps(stretch, top)
            _leave_out(jumps, "jump", left_out)
            pieces += parts
    once = _recorded_once(pieces, left_out)
    return Track(
        days=track_days(once, left_out, top),
        tracks=sum(file.tracks for file in files),
        segments=sum(len(file.segments) for file in files),
        routes=sum(file.routes for file in files),
        route_points=sum(file.route_points for file in files),
        timezone=timezone,
        near_midnight=0 if timezone else _near_midnight(once),
        top_kmh=top,
        reversed_segments=turned,
        cut=tuple(file.name for file in files if file.cut),
        bad_times=sum(file.bad_times for file in files),
        bad_time=next((file.bad_time for file in files if file.bad_time), ""),
    )


def _zone(timezone: str) -> tzinfo:
    zone = time_zone(timezone) if timezone else UTC
    if zone is None:
        raise QuestionError(f"there is no time zone {shown(timezone)}")
    return zone


def _leave_out(fixes: Iterable[Fix], reason: Reason, left_out: _Counts) -> None:
    for fix in fixes:
        left_out[fix.day][reason] += 1


def _fixes(segment: Sequence[Point], zone: tzinfo, left_out: _Counts) -> list[Fix]:
    """The points of a segment that have a place, each with its day.

    One without a time is of the day of the timed one before it in the segment, else of the next.
    """
    days = [None if point.at is None else point.at.astimezone(zone).date() for point in segment]
    latest = next((day for day in days if day), None)
    fixes = []
    for point, own in zip(segment, days, strict=True):
        latest = own or latest
        fix = Fix(point.latitude, point.longitude, point.height_m, point.at, latest)
        if point.place:
            fixes.append(fix)
        else:
            _leave_out([fix], "place", left_out)
    return fixes


def _without_doubles(
    fixes: Sequence[Fix], seen: set[tuple[datetime, float, float]], left_out: _Counts
) -> list[Fix]:
    """Fixes that are not there already: place and time together, or a place twice running."""
    once: list[Fix] = []
    for fix in fixes:
        if fix.at is None:
            double = bool(once) and once[-1].at is None and once[-1].place == fix.place
        else:
            double = (fix.at, *fix.place) in seen
            seen.add((fix.at, *fix.place))
        if double:
            _leave_out([fix], "doubled", left_out)
        else:
            once.append(fix)
    return once


def _recorded_once(pieces: Sequence[Piece], left_out: _Counts) -> list[Piece]:
    """Pieces in the order of time, without the hours that an earlier one has recorded already.

    Those without any time stand first, as they stood in their files.
    """
    starts = [(next((f.at for f in piece if f.at), None), piece) for piece in pieces]
    once = [piece for start, piece in starts if start is None]
    until: datetime | None = None
    timed = [(start, number, piece) for number, (start, piece) in enumerate(starts) if start]
    for _, _, piece in sorted(timed, key=lambda each: each[:2]):
        rest = list(piece)
        if until is not None:
            stays = next((n for n, f in enumerate(piece) if f.at and f.at >= until), len(piece))
            first = next(n for n, f in enumerate(piece) if f.at)
            rest = piece[stays:] if stays > first else rest
            _leave_out(piece[: len(piece) - len(rest)], "overlap", left_out)
        if rest:
            once.append(rest)
            until = max(f.at for f in rest if f.at)
    return once


def _near_midnight(pieces: Iterable[Piece]) -> int:
    """Points whose date in UTC may not be that of the clocks where they were recorded."""
    count = 0
    for fix in (fix for piece in pieces for fix in piece):
        if fix.at is not None:
            sun = fix.at + timedelta(hours=fix.longitude / 15)
            ends = (sun + _CLOCK_BEHIND_SUN, sun + _CLOCK_AHEAD_OF_SUN)
            count += any(end.date() != fix.at.date() for end in ends)
    return count
