"""What tracks say of days."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal

Reason = Literal["place", "doubled", "backward", "overlap", "jump", "outside"]
"""Why a point is left out: it has no position, is a second time the point before, goes back in
time, is of hours that another recording has already, cannot be reached at the mode's speed, or
is of no day of the trip."""


@dataclass(frozen=True, slots=True)
class TrackDay:
    """What was recorded of one day; ``day`` is None for what has no times.

    Climbing by steps of 10, 5 and 3 m (`climbing.STEPS_M`), hours on the move: None where they are
    not known. ``gaps`` is how often nothing was added since nothing was recorded, ``gap_km`` what
    lies between in straight lines; ``jumps`` how often since none is so fast. ``rest_km``
    is what a receiver wavered while one stood still, which is not added either.
    """

    day: date | None
    distance_km: float = 0.0
    ascent_low_m: float | None = None
    ascent_m: float | None = None
    ascent_high_m: float | None = None
    hours: float | None = None
    points_used: int = 0
    left_out: Mapping[Reason, int] = field(default_factory=dict)
    gaps: int = 0
    gap_km: float = 0.0
    jumps: int = 0
    rest_km: float = 0.0

    @property
    def points_read(self) -> int:
        """Points used and left out."""
        return self.points_used + sum(self.left_out.values())


@dataclass(frozen=True, slots=True)
class Track:
    """What one or several files of tracks say, a day each; that without times comes first.

    ``outside`` are days that are none of the trip; all their points are left out. ``timezone`` is
    "" where none was given and days are those of UTC; ``near_midnight`` then counts points whose
    date at their place may be another. ``reversed_segments`` were written from end to beginning;
    ``cut`` names the files that end in the middle, "" for one without a name. ``bad_times`` counts
    points whose time cannot be read, ``bad_time`` is one such.
    """

    days: tuple[TrackDay, ...]
    outside: tuple[TrackDay, ...] = ()
    tracks: int = 0
    segments: int = 0
    routes: int = 0
    route_points: int = 0
    timezone: str = ""
    near_midnight: int = 0
    top_kmh: float = 0.0
    reversed_segments: int = 0
    cut: tuple[str, ...] = ()
    bad_times: int = 0
    bad_time: str = ""

    @property
    def points_read(self) -> int:
        """All points of the tracks: those used and those left out."""
        return sum(day.points_read for day in (*self.days, *self.outside))

    @property
    def points_used(self) -> int:
        """Points that the distances of the days go by."""
        return sum(day.points_used for day in self.days)

    @property
    def left_out(self) -> dict[Reason, int]:
        """How many points are left out, by reason."""
        counts = _sum(day.left_out for day in self.days)
        beyond = sum(day.points_read for day in self.outside)
        return counts | ({"outside": beyond} if beyond else {})

    def within(self, first: date, last: date) -> "Track":
        """The same of the days of a trip alone, both included; what has no day stays."""
        good = [d for d in self.days if d.day is None or first <= d.day <= last]
        beyond = [d for d in self.days if d not in good]
        return replace(self, days=tuple(good), outside=(*self.outside, *beyond))

    def on(self, day: date) -> "Track":
        """The same, with what has no times put on a day."""
        undated = [d for d in self.days if d.day is None]
        of_day = [d for d in self.days if d.day == day]
        others = [d for d in self.days if d.day not in (None, day)]
        if not undated:
            return self
        whole = replace(_together([*undated, *of_day]), day=day)
        days = sorted([*others, whole], key=lambda d: d.day or date.min)
        return replace(self, days=tuple(days))


def _sum(counts: Iterable[Mapping[Reason, int]]) -> dict[Reason, int]:
    total: Counter[Reason] = Counter()
    for each in counts:
        total.update(each)
    return dict(total)


def _sum_known(values: Iterable[float | None]) -> float | None:
    """The sum, None where any is not known."""
    total = 0.0
    for value in values:
        if value is None:
            return None
        total += value
    return total


def _together(days: list[TrackDay]) -> TrackDay:
    """Recordings of one day as one; a day without a point used says nothing."""
    telling = [d for d in days if d.points_used]
    return TrackDay(
        day=days[-1].day,
        distance_km=sum(d.distance_km for d in days),
        ascent_low_m=_sum_known(d.ascent_low_m for d in telling) if telling else None,
        ascent_m=_sum_known(d.ascent_m for d in telling) if telling else None,
        ascent_high_m=_sum_known(d.ascent_high_m for d in telling) if telling else None,
        hours=_sum_known(d.hours for d in telling) if telling else None,
        points_used=sum(d.points_used for d in days),
        left_out=_sum(d.left_out for d in days),
        gaps=sum(d.gaps for d in days),
        gap_km=sum(d.gap_km for d in days),
        jumps=sum(d.jumps for d in days),
        rest_km=sum(d.rest_km for d in days),
    )
