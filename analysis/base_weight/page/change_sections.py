"""The sections on where a change of base weight went, and on the next target."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from ...display import words
from ...display.cautions import TARGET_CARE
from ...display.figure import Build, Figure
from ...display.rounding import rounded, shared_out
from ...display.sections import Section
from ...display.thing_names import in_marks, listed
from ...display.words import Display, Scale, count, label, small_mass
from ...store.scope import by_mode
from ..season_change import Period, SeasonChange
from . import tables, verdict
from .waterfall import Fall, FallStep, steps_in_order, waterfall
from .words import season_words

if TYPE_CHECKING:
    from .page import TrendPage

_NO_PAIR = "no two seasons of the same name have trips; the options “from” and “to” take any two"
_MG = {"g": Fraction(1000), "oz": Fraction("2834.9523125")}


@dataclass(frozen=True)
class Shown:
    """A change in the units of display, whole in the last decimal, so that all of it adds up.

    ``scale`` writes what is in those units already.
    """

    change: SeasonChange
    scale: Scale
    start: float
    end: float
    parts: tuple[float, ...]

    @classmethod
    def of(cls, change: SeasonChange, display: Display) -> "Shown":
        """Round both means, then share out what lies between them among the parts."""
        scale, unit = replace(small_mass(display), factor=1.0), _MG[display.mass]
        start, end = rounded(change.before_mg / unit), rounded(change.after_mg / unit)
        parts = shared_out([part.mg / unit for part in change.parts], end - start)
        ten = 10**scale.decimals
        return cls(change, scale, start / ten, end / ten, tuple(p / ten for p in parts))

    @property
    def difference(self) -> float:
        """End less start."""
        return round(self.end - self.start, self.scale.decimals)

    @property
    def way(self) -> str:
        """Which way it went."""
        return "lighter" if self.difference < 0 else "heavier"

    def text(self, value: float) -> str:
        """A value in units of display with its unit, unsigned."""
        return self.scale.text(abs(value))

    def step(self, name: str, by: float, how: str = "") -> FallStep:
        """A step of a picture, with how it came about."""
        size = self.scale.text(by, signed=True)
        return FallStep(name, by, f"{size}, {how}" if how else size)


def where_it_went_section(page: "TrendPage") -> Section:
    """The change thing by thing, from one mean to the other."""
    change, display = page.change, page.display
    heading = "Where it went"
    if change is None:
        return Section.empty(heading, _NO_PAIR)
    shown = Shown.of(change, display)
    answer = tuple(filter(None, (_first(shown, display), _biggest(shown))))
    if not change.parts:
        return Section(heading, answer, notes=_notes(change, display))
    figure = Figure(
        "where-it-went",
        " ".join(answer),
        _falls(shown, _by_thing(shown)),
        "What fell comes first, what rose after it; things swapped for each other are one step.",
    )
    causes, parts = tables.change_tables(change, shown.parts, display)
    notes = _notes(change, display)
    fold = f"Part by part: {count(len(change.parts), 'part')}"
    return Section(heading, answer, figure, causes, notes, more=(parts,), fold=fold)


def change_by_system_section(page: "TrendPage") -> Section:
    """The same change system by system."""
    change, display = page.change, page.display
    heading = "The same by system"
    if change is None:
        return Section.empty(heading, _NO_PAIR)
    shown = Shown.of(change, display)
    steps = _by_system(shown)
    if len(steps) < 2:
        return Section.empty(heading, "it all went into one system")
    ends = ((pick(steps, key=lambda step: step.by), side) for pick, side in ((min, -1), (max, 1)))
    most = [step for step, side in ends if step.by * side > 0]
    parts = "; ".join(
        f"{step.name.lower()} {shown.text(step.by)} {'lighter' if step.by < 0 else 'heavier'}"
        for step in most
    )
    answer = words.sentence(f"{parts} ({_colds(change, display)})")
    caption = "Each bar begins where the one above it ends: what fell first, then what rose."
    picture = Figure("change-by-system", answer, _falls(shown, steps), caption)
    return Section(
        heading, (answer,), picture, fold=f"All {count(len(steps), 'system')} in a picture"
    )


def _first(shown: Shown, display: Display) -> str:
    change = shown.change
    means = [
        f"{season_words(p.name)} ({count(len(p.trips), 'trip')} {_ways(p)}, mean "
        f"{shown.text(value)}, {_cold(p, display)})"
        for p, value in ((change.before, shown.start), (change.after, shown.end))
    ]
    if not shown.difference:
        return f"From {means[0]} to {means[1]}: the same."
    size = shown.text(shown.difference).capitalize()
    return f"{size} {shown.way}: from {means[0]} to {means[1]}."


def _ways(of: Period) -> str:
    """How the trips of a period went, the most frequent way first."""
    counts = Counter(t.mode or "" for t in of.trips)
    often = sorted(counts, key=lambda mode: (-counts[mode], mode))
    return words.listing([by_mode(mode) if mode else "whose way is not noted" for mode in often])


def _cold(of: Period, display: Display) -> str:
    """How cold the nights of a period were, never told apart from what it weighed."""
    lows = _lows(of)
    if not lows:
        return "how cold the nights were is not known"
    mean = words.temperature(sum(lows) / len(lows), display, 1)
    part = "" if len(lows) == len(of.trips) else f", known of {len(lows)} of {len(of.trips)}"
    return f"lowest nights {mean} on average{part}"


def _lows(of: Period) -> list[float]:
    return [t.measured_low_c for t in of.trips if t.measured_low_c is not None]


def _colds(change: SeasonChange, display: Display) -> str:
    """How cold both periods were, in one phrase."""
    periods = (change.before, change.after)
    lows = [_lows(p) for p in periods]
    if any(len(low) < len(p.trips) for low, p in zip(lows, periods, strict=True)):
        return "; ".join(f"{season_words(p.name)}: {_cold(p, display)}" for p in periods)
    then, now = (words.temperature(sum(low) / len(low), display, 1) for low in lows)
    return f"lowest nights on average {then} then, {now} now"


def _biggest(shown: Shown) -> str:
    things = _things(shown)
    falls = sorted((t for t in things if t[0].by < 0), key=lambda t: t[0].by)[:2]
    rises = sorted((t for t in things if t[0].by > 0), key=lambda t: -t[0].by)[:2]
    parts = [
        f"Biggest {noun}{'s' if len(most) > 1 else ''}: "
        f"{words.listing([told for _, told in most])}."
        for most, noun in ((falls, "saving"), (rises, "addition"))
        if most
    ]
    return " ".join(parts)


def _by_thing(shown: Shown) -> list[FallStep]:
    """A step a thing and cause; things swapped for each other are one step."""
    return [step for step, _ in _things(shown)]


def _things(shown: Shown) -> list[tuple[FallStep, str]]:
    """Those steps, each with its words: "“Small pot” instead of “Old pot” (−80 g)"."""
    gear, steps = shown.change.gear, []
    swaps: dict[int, list[tuple[str, float]]] = {}
    for part, by in zip(shown.change.parts, shown.parts, strict=True):
        name = gear[part.item][0]
        if part.swap is not None:
            swaps.setdefault(part.swap, []).append((name, by))
        elif by:
            step = shown.step(name, by, tables.CAUSE[part.cause])
            steps.append((step, f"{in_marks(name)} ({step.shown})"))
    for pairs in swaps.values():
        by = round(sum(b for _, b in pairs), 6)
        came = [name for name, b in sorted(pairs, key=lambda pair: -pair[1]) if b > 0]
        names = came or [name for name, _ in pairs]
        more = f" + {len(names) - 1}" if len(names) > 1 else ""
        step = shown.step(f"{names[0]}{more}", by, "swapped")
        went = [name for name, b in pairs if b < 0]
        told = f"{listed(names)} ({step.shown})"
        if came and went:
            told = f"{listed(came)} instead of {listed(went)} ({shown.step('', by).shown})"
        steps.append((step, told))
    return steps


def _by_system(shown: Shown) -> list[FallStep]:
    sums: dict[str, float] = {}
    for part, by in zip(shown.change.parts, shown.parts, strict=True):
        system = shown.change.gear[part.item][1]
        sums[system] = round(sums.get(system, 0.0) + by, 6)
    return [shown.step(label(system), by) for system, by in sums.items() if by]


def _falls(shown: Shown, steps: Sequence[FallStep]) -> Build:
    periods = (shown.change.before, shown.change.after)
    before, after = (season_words(p.name).capitalize() for p in periods)
    fall = Fall(before, shown.start, after, shown.end, steps_in_order(steps, shown.scale))
    return lambda layout: waterfall(fall, shown.scale, layout)


def _notes(change: SeasonChange, display: Display) -> tuple[str, ...]:
    notes = [
        "The parts sum to the difference to the last "
        f"{'gram' if display.mass == 'g' else 'tenth of an ounce'}. “More often” and “less often” "
        "are things that came along on a larger or smaller share of the trips.",
        "Nothing here is made equal: neither cold nor the way of travelling.",
    ]
    fewest = min(len(change.before.trips), len(change.after.trips))
    if fewest < 3:
        notes.append("With so few trips, which trips they were counts for as much as the gear.")
    return tuple(notes)


def next_target_section(page: "TrendPage") -> Section:
    """When the goal is reached at this rate, if it is."""
    trends, goal_g, display = page.trends, page.goal_g, page.display
    heading = "The next target"
    if trends.weights.selection.system is not None:
        return Section.empty(heading, "a target is for the whole base weight")
    if goal_g is None:
        return Section.empty(heading, "no target is set")
    answer = tuple(filter(None, verdict.target_words(trends, goal_g, display)))
    notes = []
    fit = trends.fit
    if fit is not None and any(at.state == "on_the_way" for _, at in trends.targets):
        low = words.temperature(fit.median_low_c, display, 1)
        notes.append(
            f"It is the line’s band read sideways, at a lowest night of {low}. The log is "
            f"{words.number(trends.weights.years, 1)} years long: further ahead than that no date "
            "is given."
        )
    return Section(heading, answer, notes=tuple(notes), caution=TARGET_CARE)


def change_headline(change: SeasonChange, display: Display) -> tuple[str, str]:
    """The change in one sentence, with how cold both periods were, for the opening."""
    shown = Shown.of(change, display)
    size = "no change"
    if shown.difference:
        size = f"{shown.text(shown.difference)} {shown.way} as carried"
    return words.sentence(f"{size} ({_colds(change, display)})"), _biggest(shown)
