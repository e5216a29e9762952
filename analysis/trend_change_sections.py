"""The sections on where a change of base weight went, and on the next target."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from tarebook.analysis import trend_tables as tables
from tarebook.analysis import trend_words as said
from tarebook.analysis import words
from tarebook.analysis.base_weight_trends import BaseWeightTrends
from tarebook.analysis.change_split import rounded, shared_out
from tarebook.analysis.figure import Figure
from tarebook.analysis.season_change import Period, SeasonChange
from tarebook.analysis.section import Section
from tarebook.analysis.trend_waterfall import Fall, Step, in_order, waterfall
from tarebook.analysis.trend_waterfall import said as stepped
from tarebook.analysis.words import Display, Scale, count, label, small_mass

NO_PAIR = "no two seasons of the same name have trips; the options “from” and “to” take any two"
_MG = {"g": Fraction(1000), "oz": Fraction("2834.9523125")}


@dataclass(frozen=True)
class Shown:
    """A change in the units of display, whole in the last decimal, so that all of it adds up."""

    change: SeasonChange
    scale: Scale
    start: float
    end: float
    parts: tuple[float, ...]

    @classmethod
    def of(cls, change: SeasonChange, display: Display) -> "Shown":
        """Round both means, then share out what lies between them among the parts."""
        scale, unit = small_mass(display), _MG[display.mass]
        start, end = rounded(change.before_mg / unit), rounded(change.after_mg / unit)
        parts = shared_out([part.mg / unit for part in change.parts], end - start)
        ten = 10**scale.decimals
        return cls(change, scale, start / ten, end / ten, tuple(p / ten for p in parts))

    @property
    def difference(self) -> float:
        """End less start."""
        return round(self.end - self.start, self.scale.decimals)

    def text(self, value: float) -> str:
        """A value in units of display with its unit, unsigned."""
        return Scale(self.scale.unit, decimals=self.scale.decimals).text(abs(value))


def where_it_went(change: SeasonChange | None, display: Display) -> Section:
    """The change thing by thing, from one mean to the other."""
    heading = "Where it went"
    if change is None:
        return Section.empty(heading, NO_PAIR)
    shown = Shown.of(change, display)
    first = _first(shown)
    if not change.parts:
        return Section(heading, (first,), notes=_notes(change, display))
    figure = Figure("where-it-went", f"{first} {_biggest(shown)}".strip(),
                    waterfall(_fall(shown, _by_thing(shown)), shown.scale),
                    "What fell comes first, what rose after it; things swapped for each other are "
                    "one step.")  # fmt: skip
    return Section(
        heading,
        tuple(filter(None, (first, _biggest(shown)))),
        figure,
        tables.causes(change, shown.parts, display),
        _notes(change, display),
        more=(tables.parts(change, shown.parts, display),),
    )


def by_system(change: SeasonChange | None, display: Display) -> Section:
    """The same change system by system."""
    heading = "The same by system"
    if change is None:
        return Section.empty(heading, NO_PAIR)
    shown = Shown.of(change, display)
    steps = _by_system(shown)
    if len(steps) < 2:
        return Section.empty(heading, "it all went into one system")
    falls = min(steps, key=lambda step: step.by)
    rises = max(steps, key=lambda step: step.by)
    told = [f"{s.name} {way} {shown.text(s.by)}"
            for s, way, real in ((falls, "lost", falls.by < 0), (rises, "gained", rises.by > 0))
            if real]  # fmt: skip
    answer = words.sentence("; ".join(told))
    return Section(
        heading,
        (answer,),
        Figure("change-by-system", answer, waterfall(_fall(shown, steps), shown.scale)),
    )


def _first(shown: Shown) -> str:
    change = shown.change
    means = [
        f"{said.period(p.name)} ({count(len(p.trips), 'trip')}, mean {shown.text(value)})"
        for p, value in ((change.before, shown.start), (change.after, shown.end))
    ]
    if not shown.difference:
        return f"From {means[0]} to {means[1]}: the same."
    way = "lighter" if shown.difference < 0 else "heavier"
    return f"{shown.text(shown.difference).capitalize()} {way}: from {means[0]} to {means[1]}."


def _biggest(shown: Shown) -> str:
    steps = _by_thing(shown)
    falls = sorted((s for s in steps if s.by < 0), key=lambda s: s.by)[:2]
    rises = sorted((s for s in steps if s.by > 0), key=lambda s: -s.by)[:2]
    parts = [
        f"Biggest {noun}{'s' if len(found) > 1 else ''}: "
        f"{words.listing([f'{s.name} ({s.shown})' for s in found])}."
        for found, noun in ((falls, "saving"), (rises, "addition"))
        if found
    ]
    return " ".join(parts)


def _by_thing(shown: Shown) -> list[Step]:
    """A step a thing and cause; things swapped for each other are one step."""
    gear, found = shown.change.gear, []
    swaps: dict[int, list[tuple[str, float]]] = {}
    for part, by in zip(shown.change.parts, shown.parts, strict=True):
        name = gear[part.item][0]
        if part.swap is not None:
            swaps.setdefault(part.swap, []).append((name, by))
        elif by:
            told = f"{stepped(by, shown.scale)}, {tables.CAUSE[part.cause]}"
            found.append(Step(name, by, told))
    for pairs in swaps.values():
        by = round(sum(b for _, b in pairs), 6)
        came = [name for name, b in sorted(pairs, key=lambda pair: -pair[1]) if b > 0]
        names = came or [name for name, _ in pairs]
        more = f" + {len(names) - 1}" if len(names) > 1 else ""
        found.append(Step(f"{names[0]}{more}", by, f"{stepped(by, shown.scale)}, swapped"))
    return found


def _by_system(shown: Shown) -> list[Step]:
    sums: dict[str, float] = {}
    for part, by in zip(shown.change.parts, shown.parts, strict=True):
        system = shown.change.gear[part.item][1]
        sums[system] = round(sums.get(system, 0.0) + by, 6)
    return [Step(label(system), by, stepped(by, shown.scale)) for system, by in sums.items() if by]


def _fall(shown: Shown, steps: Sequence[Step]) -> Fall:
    before, after = shown.change.before, shown.change.after
    return Fall(
        _end_name(before), shown.start, _end_name(after), shown.end, in_order(steps, shown.scale)
    )


def _end_name(of: Period) -> str:
    return said.period(of.name).capitalize()


def _notes(change: SeasonChange, display: Display) -> tuple[str, ...]:
    notes = [
        "The parts sum to the difference to the last "
        f"{'gram' if display.mass == 'g' else 'tenth of an ounce'}. “More often” and “less often” "
        "are things that came along on a larger or smaller share of the trips."
    ]
    lows = [_low(p) for p in (change.before, change.after)]
    if lows[0] is not None and lows[1] is not None:
        then, now = (words.temperature(low, display, 1) for low in lows)
        notes.append(
            f"Nothing here is made equal: the lowest nights were {then} on average, then {now}."
        )
    modes = [{t.mode for t in p.trips} for p in (change.before, change.after)]
    if modes[0] != modes[1]:
        ways = [words.listing(sorted(label(m) for m in found)) for found in modes]
        notes.append(f"The ways of travelling differ: {ways[0]}, then {ways[1]}.")
    fewest = min(len(change.before.trips), len(change.after.trips))
    if fewest < 3:
        notes.append("With so few trips, which trips they were counts for as much as the gear.")
    return tuple(notes)


def _low(period: Period) -> float | None:
    lows = [t.measured_low_c for t in period.trips if t.measured_low_c is not None]
    return sum(lows) / len(lows) if lows else None


def next_target(trends: BaseWeightTrends, goal_g: float | None, display: Display) -> Section:
    """When the goal is reached at this rate, if it is."""
    heading = "The next target"
    if trends.weights.asked.system is not None:
        return Section.empty(heading, "a target is for the whole base weight")
    answer, more = told_target(trends, goal_g, display)
    notes = []
    if trends.target is not None and trends.target.state == "on_the_way":
        fit = trends.fit
        at = (
            f"at a lowest night of {words.temperature(fit.median_low_c, display, 1)}"
            if fit
            else "whatever the cold, since too few night lows are known"
        )
        notes.append(
            f"It is the line's band read sideways (Fieller), {at}, for the usual mixture of trips. "
            f"The log is {words.number(_length(trends), 1)} years long: beyond as much again, a "
            "straight line is a guess."
        )
    return Section(
        heading,
        tuple(filter(None, (answer, more))),
        notes=tuple(notes),
        caution="A target is met by what one does not need. First aid, safety gear, warmth for the "
        "cold that may come and shelter from rain are not what to save on.",
    )


def told_target(
    trends: BaseWeightTrends, goal_g: float | None, display: Display
) -> tuple[str, str]:
    """When the goal is reached, and what goes with it."""
    kept = trends.weights.kept
    return said.target(trends.target, goal_g, kept[-1].base_g if kept else None, display)


def _length(trends: BaseWeightTrends) -> float:
    kept = trends.weights.kept
    return kept[-1].years - kept[0].years


def headline(change: SeasonChange, display: Display) -> tuple[str, str]:
    """The change in one line, for the opening."""
    shown = Shown.of(change, display)
    answer = "No change." if not shown.difference else (
        f"{shown.text(shown.difference)} "
        f"{'lighter' if shown.difference < 0 else 'heavier'}."
    )  # fmt: skip
    return answer, _biggest(shown)
