"""From pieces of tracks to what they say of each day."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from itertools import pairwise

from ..normals.distance import geodesic_km
from .climbing import STEPS_M, climbed_m
from .fixes import Fix, Piece, reachable, seconds_between
from .results import Reason, TrackDay

_ENOUGH = 0.9
"""Climbing is known where so many of a day's points have a height, hours where they have a time."""
_STRETCH_S = 60.0
_MOVING_KMH = 1.0
"""Whoever gets on slower than this for a minute stands still: a receiver at rest wavers by metres.

Common practice, no published source.
"""

LeftOut = Mapping[date | None, Mapping[Reason, int]]
"""How many points are left out, by their day and by reason."""


def track_days(pieces: Sequence[Piece], left_out: LeftOut, top_kmh: float) -> tuple[TrackDay, ...]:
    """A row for each day of pieces in the order of time; what has no times comes first."""
    km: dict[date | None, float] = defaultdict(float)
    used = Counter(fix.day for piece in pieces for fix in piece)
    for one, other in (step for piece in pieces for step in pairwise(piece)):
        km[one.day] += geodesic_km(*one.place, *other.place)
    hours, climbs = _hours(pieces), _climbs(pieces)
    gaps, gap_km, jumps = _between(pieces, top_kmh)
    names = sorted(used.keys() | left_out.keys(), key=lambda d: d or date.min)
    nothing = (None, None, None)
    return tuple(
        TrackDay(
            day,
            km[day],
            *climbs.get(day, nothing),
            hours.get(day),
            used[day],
            dict(left_out.get(day, {})),
            gaps[day],
            gap_km[day],
            jumps[day],
        )
        for day in names
    )


def _between(
    pieces: Sequence[Piece], top_kmh: float
) -> tuple[Counter[date | None], dict[date | None, float], Counter[date | None]]:
    """Where nothing is added from one piece to the next of a day: gaps, their km, jumps."""
    gaps: Counter[date | None] = Counter()
    jumps: Counter[date | None] = Counter()
    km: dict[date | None, float] = defaultdict(float)
    for before, after in pairwise(pieces):
        one, other = before[-1], after[0]
        if one.day != other.day:
            continue
        if reachable(one, other, top_kmh):
            gaps[one.day] += 1
            km[one.day] += geodesic_km(*one.place, *other.place)
        else:
            jumps[one.day] += 1
    return gaps, km, jumps


def _enough(fixes: Iterable[Fix], known: Iterable[Fix]) -> set[date | None]:
    """The days of which enough is known."""
    every, those = Counter(f.day for f in fixes), Counter(f.day for f in known)
    return {day for day, number in every.items() if those[day] >= _ENOUGH * number}


def _hours(pieces: Sequence[Piece]) -> dict[date | None, float]:
    """Hours on the move of each day that has times."""
    fixes = [fix for piece in pieces for fix in piece]
    known = _enough(fixes, (f for f in fixes if f.at is not None)) - {None}
    seconds: dict[date | None, float] = {day: 0.0 for day in known}
    for one, other in (ends for piece in pieces for ends in _stretches(piece)):
        passed = seconds_between(one, other) or 0.0
        moving = geodesic_km(*one.place, *other.place) * 3600 >= _MOVING_KMH * passed
        if one.day in known and moving:
            seconds[one.day] += passed
    return {day: s / 3600 for day, s in seconds.items()}


def _stretches(piece: Piece) -> Iterator[tuple[Fix, Fix]]:
    """First and last fix of successive stretches of a minute or, of rare fixes, more."""
    timed = [fix for fix in piece if fix.at is not None]
    if not timed:
        return
    first = timed[0]
    for before, fix in pairwise(timed):
        if fix.day != first.day and before is not first:
            yield first, before
            first = before
        if (seconds_between(first, fix) or 0.0) >= _STRETCH_S:
            yield first, fix
            first = fix
    if first is not timed[-1]:
        yield first, timed[-1]


def _climbs(
    pieces: Sequence[Piece],
) -> dict[date | None, tuple[float | None, float | None, float | None]]:
    """Low, middle and high climbing of each day whose heights are known and not one and the same.

    The heights of a day make one profile, in which nothing rises or falls across a gap.
    """
    fixes = [fix for piece in pieces for fix in piece]
    with_height = [fix for fix in fixes if fix.height_m is not None]
    known = _enough(fixes, with_height)
    heights: dict[date | None, set[float | None]] = defaultdict(set)
    for fix in with_height:
        heights[fix.day].add(fix.height_m)
    profiles: dict[date | None, list[float]] = defaultdict(lambda: [0.0])
    for piece in pieces:
        for one, other in pairwise(fix for fix in piece if fix.height_m is not None):
            rise = (other.height_m or 0.0) - (one.height_m or 0.0)
            profiles[one.day].append(profiles[one.day][-1] + rise)
    climbs: dict[date | None, tuple[float | None, float | None, float | None]] = {}
    for day in known:
        if len(heights[day]) > 1:
            high, middle, low = (climbed_m(profiles[day], step) for step in STEPS_M)
            climbs[day] = (low, middle, high)
    return climbs
