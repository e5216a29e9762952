"""Gains, verdicts and swaps in plain words."""

from collections.abc import Iterable, Sequence

from ..display.thing_names import in_marks
from ..display.words import (
    Display,
    count,
    listing,
    mass,
    number,
    quoted,
    sentence,
    temperature_step,
)
from ..stats.estimate import Estimate
from .days import Bundle
from .ease import MILDER_STEP_C
from .gain import AspectGains, Gain
from .next_swap import Narrowing, Swap

SCORED = {"sleep": "night", "camp": "day in camp", "moving": "day on the move", "fun": "day of fun"}
VERDICTS = {
    "earned": "Earned its weight",
    "probably": "Probably helps",
    "not_known": "Too early to say",
    "goes_with_better_days": "Goes with better days",
    "always_along": "Always along",
    "never_taken_out": "Never taken out",
}
LOWER_SO_FAR = "Lower with it so far"
FEW_DAYS = 20
"""Fewer scored days than this tell little of any single thing."""
_NAMES = 4


def gain_name(gain: Gain, at_most: int = 3) -> str:
    """What was along, by name."""
    return listing(gain.bundle.names, at_most=at_most)


def gain_named(gain: Gain) -> str:
    """The same in a sentence, where names of things stand in quotation marks."""
    return quoted(gain.bundle.names, at_most=3)


def points_text(value: float) -> str:
    """Points of the score, with a sign."""
    return number(value, 1, signed=True)


def interval_text(interval: Estimate) -> str:
    """ "0.3 to 1.0", signs where below nothing; an end beside zero has the digits to tell so."""
    return f"{_end(interval.low)} to {_end(interval.high)}"


def verdict_in_table(gain: Gain) -> str:
    """The verdict, which asks only whether a thing helps; clearly lower scores are said beside."""
    lower = gain.verdict == "not_known" and gain.gain.high < 0
    return f"{VERDICTS[gain.verdict]}. {LOWER_SO_FAR}" if lower else VERDICTS[gain.verdict]


def by_chance(gains: Sequence[Gain]) -> str:
    """ "among 28 gains a few look like this by chance": of help and hindrance alike."""
    return f"among {count(len(gains), 'gain')} a few look like this by chance"


def _end(points: float) -> str:
    """An end of an interval: "0.3", "0.04" for what would round to zero and is none."""
    digits = next((d for d in (1, 2, 3) if round(points, d)), 1)
    return number(points, digits)


def gain_words(gain: Gain, display: Display) -> str:
    """ "+0.6 points to camp scores (very likely 0.3 to 1.0) for 464 g"."""
    weight = gain.bundle.weight_g
    carried = f" for {mass(weight, display)}" if weight is not None else ", not weighed"
    return (
        f"{points_text(gain.gain.value)} points to {gain.aspect} scores "
        f"(very likely {interval_text(gain.gain)}){carried}"
    )


def scored(aspects: Sequence[AspectGains]) -> str:
    """ "66 nights, 57 days in camp and 54 days on the move"."""
    return listing([_scored(a.aspect, len(a.days.rows)) for a in aspects])


def _scored(aspect: str, n: int) -> str:
    noun = SCORED[aspect]
    first, *rest = noun.split(" ", 1)
    return count(n, noun, " ".join([f"{first}s", *rest]))


def comforts_of(aspects: Sequence[AspectGains]) -> list[Gain]:
    """The gains of what is carried for comfort, of all aspects, the most probable help first."""
    gains = [gain for aspect in aspects for gain in aspect.comforts]
    return sorted(gains, key=lambda g: (-g.p_helps, g.aspect, g.bundle.bundle))


def by_verdict(gains: Sequence[Gain], verdict: str) -> list[Gain]:
    """Those of one verdict, in order."""
    return [gain for gain in gains if gain.verdict == verdict]


def undecided_names(gains: Sequence[Gain]) -> list[str]:
    """Names of what has no verdict in any aspect, and may have one with more scores."""
    decided = {g.bundle.things for g in gains if g.verdict != "not_known"}
    return _names(gain.bundle for gain in gains if gain.bundle.things not in decided)


def not_apart_names(gains: Sequence[Gain]) -> list[str]:
    """Names of what goes with better days in some aspect, and helps in none."""
    helping = {g.bundle.things for g in gains if g.helps}
    tied = by_verdict(gains, "goes_with_better_days")
    return _names(gain.bundle for gain in tied if gain.bundle.things not in helping)


def unused_names(aspects: Sequence[AspectGains]) -> list[str]:
    """Names of comforts that came along and were never taken out."""
    return _names(bundle for a in aspects for bundle in a.days.unused if bundle.for_comfort)


def _names(bundles: Iterable[Bundle]) -> list[str]:
    return sorted({name for bundle in bundles for name in bundle.names})


def gain_and_aspect(gain: Gain) -> str:
    """ "“Sit chair” (camp)"."""
    return f"{gain_named(gain)} ({gain.aspect})"


def with_aspects(gains: Sequence[Gain]) -> str:
    """ "“Sit chair” (camp) and “Inflatable pillow” (sleep)"."""
    return listing([gain_and_aspect(gain) for gain in gains], at_most=_NAMES)


def swap_title(swap: Swap) -> str:
    """ "Leave “Travel draughts” at home"."""
    if swap.action == "leave":
        return f"Leave {in_marks(swap.thing.name)} at home"
    return f"Take {in_marks(swap.thing.name)} along"


def swap_reason(swap: Swap) -> str:
    """What the change would tell, in words."""
    main = swap.narrows[0]
    noun = _scored(main.aspect, main.days)
    usual = (
        f"It came along on {main.days_with} of the {noun} with a score"
        if main.days_with
        else f"It came along on none of the {noun} with a score"
    )
    return (
        f"{usual}, so its gain to {main.aspect} scores is known only to within "
        f"{_width(main.before)} points. One such trip would narrow that to {_width(main.after)}"
        f"{_others(swap.narrows[1:])}."
    )


def _width(half: float) -> str:
    return f"±{number(half, 2)}"


def _others(narrows: Sequence[Narrowing]) -> str:
    others = [n.aspect for n in narrows if n.after < 0.98 * n.before]
    return f", and would say more about {listing(others)} as well" if others else ""


_SLOPES = {
    "milder": "a night {step} milder",
    "warmer": "a night {step} warmer",
    "wet": "a wet day",
    "farther": "a day twice as long as usual",
    "higher": "a day with twice the usual climb",
    "later": "each year",
}


def slopes(aspect: AspectGains, display: Display) -> str:
    """What the days were like, where it can be told from nothing; empty where it cannot."""
    step = temperature_step(display, 0).text(MILDER_STEP_C)
    effects = [
        f"{_SLOPES[name].format(step=step)} {'adds' if slope.value > 0 else 'takes'} about "
        f"{number(abs(slope.value), 1)} points"
        for name, slope in aspect.slopes
        if name in _SLOPES and (slope.low > 0 or slope.high < 0)
    ]
    if not effects:
        return ""
    return sentence(f"Allowed for in {aspect.aspect} scores: {listing(effects)}")


_FACTS = {
    "distance": ("farther",),
    "lows": ("milder", "warmer"),
    "wet days": ("wet",),
}


def not_written(aspects: Sequence[AspectGains]) -> list[str]:
    """Which facts of how easy a trip was are known of no scored day, or the same on all."""
    known = {c.name for aspect in aspects for c in aspect.days.covariates}
    return [fact for fact, names in _FACTS.items() if not known & set(names)]
