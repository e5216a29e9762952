"""From pieces of tracks to what they say of each day."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
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
"""Whoever gets on slower than this for a minute stands still. A receiver at rest wavers by metres,
which in a night adds up to kilometres.

Common practice, no published source.
"""

LeftOut = Mapping[date | None, Mapping[Reason, int]]
"""How many points are left out, by their day and by reason."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Fixes of about a minute or, of rare ones, more, the last being the first of the next.

    ``seconds`` is 0 where they have no times; then they are taken to move.
    """

    fixes: Piece
    km: float
    seconds: float
    moving: bool

    @property
    def day(self) -> date | None:
        """The day on which it began, and on which all its steps did."""
        return self.fixes[0].day


def track_days(pieces: Sequence[Piece], left_out: LeftOut, top_kmh: float) -> tuple[TrackDay, ...]:
    """A row for each day of pieces in the order of time; what has no times comes first."""
    fixes = [fix for piece in pieces for fix in piece]
    stretches = [list(_stretches(piece)) for piece in pieces]
    km: dict[date | None, float] = defaultdict(float)
    rest_km: dict[date | None, float] = defaultdict(float)
    seconds: dict[date | None, float] = defaultdict(float)
    for each in (each for several in stretches for each in several):
        (km if each.moving else rest_km)[each.day] += each.km
        seconds[each.day] += each.seconds if each.moving else 0.0
    timed = _enough(fixes, (fix for fix in fixes if fix.at is not None)) - {None}
    climbs, unknown = _climbs(fixes, stretches), (None, None, None)
    gaps, gap_km, jumps = _between(pieces, top_kmh)
    used = Counter(fix.day for fix in fixes)
    names = sorted(used.keys() | left_out.keys(), key=lambda d: d or date.min)
    return tuple(
        TrackDay(
            day,
            km[day],
            *climbs.get(day, unknown),
            seconds[day] / 3600 if day in timed else None,
            used[day],
            dict(left_out.get(day, {})),
            gaps[day],
            gap_km[day],
            jumps[day],
            rest_km[day],
        )
        for day in names
    )


def _stretches(piece: Piece) -> Iterator[_Stretch]:
    """A piece in stretches that begin and end with a fix; none where it is a single one."""
    begin = 0
    for at, fix in enumerate(piece):
        first = piece[begin]
        passed = seconds_between(first, fix)
        begins_timed = first.at is None and fix.at is not None
        if begins_timed or fix.day != first.day or (passed or 0.0) >= _STRETCH_S:
            yield _stretch(piece[begin : at + 1])
            begin = at
    if begin < len(piece) - 1:
        yield _stretch(piece[begin:])


def _stretch(fixes: Piece) -> _Stretch:
    km = sum(geodesic_km(*a.place, *b.place) for a, b in pairwise(fixes))
    timed = [fix for fix in fixes if fix.at is not None] or fixes
    seconds = seconds_between(timed[0], timed[-1]) or 0.0
    reached_km = km if len(fixes) == 2 else geodesic_km(*timed[0].place, *timed[-1].place)
    return _Stretch(fixes, km, seconds, reached_km * 3600 >= _MOVING_KMH * seconds)


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


def _climbs(
    fixes: Sequence[Fix], stretches: Sequence[Sequence[_Stretch]]
) -> dict[date | None, tuple[float | None, float | None, float | None]]:
    """Low, middle and high climbing of each day whose heights are known and not one and the same.

    The heights of a day make one profile, in which nothing rises or falls across a gap or at rest.
    """
    with_height = [fix for fix in fixes if fix.height_m is not None]
    heights: dict[date | None, set[float | None]] = defaultdict(set)
    for fix in with_height:
        heights[fix.day].add(fix.height_m)
    profiles: dict[date | None, list[float]] = defaultdict(lambda: [0.0])
    for piece in stretches:
        before: float | None = None
        for each in piece:
            for fix in each.fixes:
                if fix.height_m is None:
                    continue
                if each.moving and before is not None:
                    profile = profiles[each.day]
                    profile.append(profile[-1] + fix.height_m - before)
                before = fix.height_m
    climbs: dict[date | None, tuple[float | None, float | None, float | None]] = {}
    for day in _enough(fixes, with_height):
        if len(heights[day]) > 1:
            high, middle, low = (climbed_m(profiles[day], step) for step in STEPS_M)
            climbs[day] = (low, middle, high)
    return climbs
