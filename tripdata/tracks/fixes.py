"""Points that can be compared: of a day, in the order of time, without gaps and jumps."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise
from statistics import median

from ..normals.distance import sphere_km

GAP_S = 300.0
"""Nothing is added across a longer pause of the recording: where one went meanwhile is not known.

Common practice, no published source. A device that records more rarely by itself has longer ones.
"""
GAP_INTERVALS = 5.0
"""A gap is also at least so many times the usual interval of its segment."""
_SPHERE_ERROR = 1.01
_SHORTEST_S = 1.0
"""Devices write whole seconds: two points of one second may be that far apart."""
_LOOK_BACK = 12
_BREAK_S, _BREAK_KM = 60.0, 0.2
"""Fixes beyond a jump are believed where they hang together for so long or get so far, whichever
comes first, however many they are: a receiver that errs does so for seconds and about one spot,
while one that records rarely may say an hour's walk with two points.

Common practice, no published source.
"""


@dataclass(frozen=True, slots=True)
class Fix:
    """A point with the day of the trip's clock to which it belongs, None where it has none."""

    latitude: float
    longitude: float
    height_m: float | None
    at: datetime | None
    day: date | None

    @property
    def place(self) -> tuple[float, float]:
        """Degrees north and east."""
        return self.latitude, self.longitude


Piece = list[Fix]
"""Fixes between which nothing is missing."""


def seconds_between(one: Fix, other: Fix) -> float | None:
    """Seconds from one to the other, None where either has no time."""
    if one.at is None or other.at is None:
        return None
    return (other.at - one.at).total_seconds()


def reachable(one: Fix, other: Fix, top_kmh: float) -> bool:
    """Whether the other can be come to in time; yes where either has no time."""
    seconds = seconds_between(one, other)
    if seconds is None:
        return True
    most_km = top_kmh * max(seconds, _SHORTEST_S) / 3600
    return sphere_km(*one.place, *other.place) <= most_km * _SPHERE_ERROR


def forward(fixes: Sequence[Fix]) -> tuple[list[Fix], list[Fix]]:
    """The longest part of a segment whose times never go back, and the rest.

    What has no time stays. Longest non-decreasing subsequence by patience sorting: Fredman 1975,
    Discrete Mathematics 11, doi:10.1016/0012-365X(75)90103-X.
    """
    ends: list[float] = []
    places: list[int] = []
    before: dict[int, int] = {}
    for number, fix in enumerate(fixes):
        if fix.at is None:
            continue
        moment = fix.at.timestamp()
        pile = bisect_right(ends, moment)
        before[number] = places[pile - 1] if pile else -1
        ends[pile : pile + 1] = [moment]
        places[pile : pile + 1] = [number]
    chosen = set()
    at = places[-1] if places else -1
    while at >= 0:
        chosen.add(at)
        at = before[at]
    good = [f for n, f in enumerate(fixes) if f.at is None or n in chosen]
    return good, [f for n, f in enumerate(fixes) if f.at is not None and n not in chosen]


def runs_backward(fixes: Sequence[Fix]) -> bool:
    """Whether a segment was written from its end to its beginning."""
    moments = [fix.at for fix in fixes if fix.at is not None]
    steps = [later > earlier for earlier, later in pairwise(moments)]
    return len(steps) > 1 and moments[-1] < moments[0] and sum(steps) * 2 < len(steps)


def without_gaps(fixes: Sequence[Fix]) -> list[Piece]:
    """A segment parted where its recording paused for long."""
    steps = [seconds_between(a, b) for a, b in pairwise(fixes)]
    longest = _longest_pause(steps)
    pieces: list[Piece] = [[]]
    for fix, step in zip(fixes, [None, *steps], strict=False):
        if step is not None and step > longest:
            pieces.append([])
        pieces[-1].append(fix)
    return [piece for piece in pieces if piece]


def _longest_pause(steps: Sequence[float | None]) -> float:
    """Seconds that a recording with such steps may pause without a gap."""
    return max(GAP_S, GAP_INTERVALS * median([s for s in steps if s] or [0.0]))


def without_jumps(piece: Piece, top_kmh: float) -> tuple[list[Piece], list[Fix]]:
    """A piece without what cannot be reached at a speed, and the fixes that are left out.

    As much as possible stays, by time and distance. Where all after a jump hang together, as after
    a ride in a train, both sides stay, and the piece is parted there. It is parted, too, where what
    is left out lasted so long that nothing is known of the way meanwhile.
    """
    longest = _longest_pause([seconds_between(a, b) for a, b in pairwise(piece)])
    runs: list[Piece] = []
    for fix in piece:
        if runs and reachable(runs[-1][-1], fix, top_kmh):
            runs[-1].append(fix)
        else:
            runs.append([fix])
    if len(runs) < 2:
        return runs, []
    chain = _heaviest_chain(runs, top_kmh, longest)
    parts: list[Piece] = []
    for number in chain:
        if parts and _hang_together(parts[-1], runs[number], top_kmh, longest):
            parts[-1] += runs[number]
        else:
            parts.append(runs[number])
    stays = set(chain)
    return parts, [fix for n, run in enumerate(runs) if n not in stays for fix in run]


def _hang_together(one: Piece, other: Piece, top_kmh: float, longest: float) -> bool:
    """Whether the other can be come to from the end of one, without a gap."""
    seconds = seconds_between(one[-1], other[0]) or 0.0
    return seconds <= longest and reachable(one[-1], other[0], top_kmh)


def _weight(run: Piece) -> float:
    """How much a run says, 1 being enough to be believed beyond a jump."""
    timed = [fix for fix in run if fix.at is not None]
    seconds = seconds_between(timed[0], timed[-1]) if timed else None
    far = sphere_km(*run[0].place, *run[-1].place)
    # Of runs that say as little, the one of more fixes.
    return max((seconds or 0.0) / _BREAK_S, far / _BREAK_KM) + len(run) * 1e-9


def _heaviest_chain(runs: Sequence[Piece], top_kmh: float, longest: float) -> list[int]:
    """Numbers of the runs that stay: those that say most, less what each jump between them costs.

    The time between two that hang together counts as said.
    """
    weights: list[float] = []
    before: list[int] = []
    best = -1
    for number, run in enumerate(runs):
        weight, source = 0.0, -1
        for other in {best, *range(max(0, number - _LOOK_BACK), number)} - {-1}:
            if _hang_together(runs[other], run, top_kmh, longest):
                said = (seconds_between(runs[other][-1], run[0]) or 0.0) / _BREAK_S
            else:
                said = 0.0 if reachable(runs[other][-1], run[0], top_kmh) else -1.0
            if weights[other] + said > weight:
                weight, source = weights[other] + said, other
        weights.append(weight + _weight(run))
        before.append(source)
        if best < 0 or weights[number] > weights[best]:
            best = number
    chain = []
    while best >= 0:
        chain.append(best)
        best = before[best]
    return chain[::-1]
