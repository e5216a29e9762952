"""What tracks say, in sentences and in the units that a person reads."""

from datetime import date

from ..names import shown
from ..units import FT_M, MI_KM
from .climbing import STEPS_M
from .results import Reason, Track, TrackDay

_REASONS: dict[Reason, str] = {
    "place": "without a position that can be read",
    "doubled": "doubled",
    "backward": "backward in time",
    "overlap": "from hours that another track already covers",
    "jump": "where nobody travels so fast",
    "outside": "outside the days of the trip",
}
HEIGHT_OF = {"km": "m", "mi": "ft"}
"""The unit of heights that goes with a unit of distances."""


def length_in(km: float, unit: str) -> float:
    """A length in km as a number of km or mi, rounded to the two decimals that are shown."""
    return round(km / MI_KM if unit == "mi" else km, 2)


def height_in(metres: float, unit: str) -> int:
    """A height in m as a whole number of the unit that goes with km or mi."""
    return round(metres / FT_M if unit == "mi" else metres)


def length_words(km: float, unit: str) -> str:
    """A length with two decimals and its unit, km or mi."""
    return f"{length_in(km, unit):,.2f} {unit}"


def climbing_words(day: TrackDay, unit: str) -> str:
    """Climbing as a figure with its lowest and highest, in the unit that goes with km or mi."""
    low, middle, high = (
        None if m is None else height_in(m, unit)
        for m in (day.ascent_low_m, day.ascent_m, day.ascent_high_m)
    )
    if low is None or middle is None or high is None:
        return "not known"
    return f"{middle:,} {HEIGHT_OF[unit]} ({low:,} to {high:,})"


def hours_words(day: TrackDay) -> str:
    """Hours on the move."""
    return "not known" if day.hours is None else f"{day.hours:.2f}"


def day_words(day: date | None) -> str:
    """A day, or that there is none."""
    return "no day" if day is None else day.isoformat()


def sentences(track: Track, unit: str) -> list[str]:
    """How the figures of the days came about, for a person who reads km or mi."""
    return [
        *_files(track),
        *_points(track, unit),
        *_heights(track, unit),
        *_times(track),
        *_days(track),
    ]


def _many(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _files(track: Track) -> list[str]:
    lines = []
    if track.routes:
        routes = f"{_many(track.routes, 'route')} with {_many(track.route_points, 'point')}"
        lines.append(
            f"{routes}: a route is a way to be followed. It has no days and is not counted."
        )
    if not track.points_read:
        lines.append("There is no track in it: nothing was recorded.")
    for name in track.cut:
        file = shown(name) if name else "A file"
        lines.append(
            f"{file} ends in the middle. What comes before that is read; more may be missing."
        )
    if track.reversed_segments:
        segments = _many(track.reversed_segments, "segment")
        lines.append(f"{segments} ran backward in time and {_are_read(track)} the other way round.")
    return lines


def _are_read(track: Track) -> str:
    return "was read" if track.reversed_segments == 1 else "were read"


def _points(track: Track, unit: str) -> list[str]:
    if not track.points_read:
        return []
    left_out = [
        f"{number:,} {words}"
        for reason, words in _REASONS.items()
        if (number := track.left_out.get(reason, 0))
    ]
    out = track.points_read - track.points_used
    line = f"{_many(track.points_read, 'point')} read: {track.points_used:,} used, {out:,} left out"
    lines = [line + (f" ({'; '.join(left_out)})." if left_out else ".")]
    jumps = sum(day.jumps for day in track.days)
    if jumps or track.left_out.get("jump"):
        top = f"{track.top_kmh / MI_KM:.0f} mph" if unit == "mi" else f"{track.top_kmh:.0f} km/h"
        steps = (
            f" {_many(jumps, 'step')} to another place {_are(jumps)} not added." if jumps else ""
        )
        lines.append(f"Faster than {top} counts as a jump, not as travelling.{steps}")
    if gaps := sum(day.gaps for day in track.days):
        km = sum(day.gap_km for day in track.days)
        lines.append(
            f"In {_many(gaps, 'place')} the recording breaks off. What lies between, "
            f"{length_words(km, unit)} in straight lines, is not added."
        )
    rest_km = sum(day.rest_km for day in track.days)
    if length_in(rest_km, unit):
        lines.append(
            f"{length_words(rest_km, unit)} of wavering while you stood still are not added, "
            "nor is what it seemed to climb."
        )
    return lines


def _heights(track: Track, unit: str) -> list[str]:
    moving = [day for day in track.days if day.points_used > 1]
    lines = []
    if any(day.ascent_m is not None for day in moving):
        high, middle, low = (f"{height_in(step, unit)}" for step in STEPS_M)
        lines.append(
            f"Climbing adds up every climb of {middle} {HEIGHT_OF[unit]} or more. The first figure "
            f"in brackets leaves out climbs under {low} {HEIGHT_OF[unit]}, the second those under "
            f"{high} {HEIGHT_OF[unit]}. Recorded heights waver, so no single figure is right."
        )
    if any(day.ascent_m is None for day in moving):
        lines.append("Climbing is not known where heights are missing, 0 or all the same.")
    return lines


def _times(track: Track) -> list[str]:
    lines = []
    if track.bad_times:
        have = "has" if track.bad_times == 1 else "have"
        lines.append(
            f"{_many(track.bad_times, 'point')} {have} a time that cannot be read, such as "
            f"{shown(track.bad_time)}, and {_are(track.bad_times)} taken as without one."
        )
    if any(day.points_used and day.hours is None for day in track.days):
        lines.append(
            "Hours are not known where points have no times. Jumps cannot be seen there, either."
        )
    return lines


def _days(track: Track) -> list[str]:
    if not track.near_midnight:
        return []
    points = _many(track.near_midnight, "point")
    return [
        f"Days are those of UTC, since [reading] in tarebook.toml has no timezone. "
        f"{points} may belong to another day by the local clock."
    ]
