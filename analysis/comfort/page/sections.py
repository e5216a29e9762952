"""The sections on what comfort weighed: gains, weight, the next swap, how sure it is."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...display.cautions import SWAP_CARE
from ...display.figure import Figure
from ...display.sections import Section
from ...display.thing_names import in_marks
from ...display.words import Display, count, listing, mass, number, percent, quoted, sentence
from ...stats.arrays import Array
from ...stats.estimate import Estimate
from ...stats.score_model.apart import NOT_APART
from .. import words as comfort_words
from ..gain import AspectGains, Gain, efficient_edge, verdict_at
from ..things import carried_for_comfort
from .charts import gains_chart, weight_chart
from .tables import shelf_table, swap_table, weight_table

if TYPE_CHECKING:
    from .page import ComfortPage

_SHELF = "Which comfort earned its weight"
_PRIOR_POINTS = 0.8
"""Beforehand nine gains in ten lie within this of nothing, in points: the 90 % interval of a normal
law whose standard deviation is half-normal with scale .5."""
_SHOWN, _NAMED = 10, 4
_BEYOND = 5
_NO_SCORES = "a comfort score"


def shelf_section(page: "ComfortPage") -> Section:
    """The luxury shelf: what earned its weight, what probably helps, what is not known."""
    aspects, settle, display = page.aspects, page.settle, page.display
    if not aspects:
        return Section.empty(_SHELF, _NO_SCORES)
    gains = comfort_words.comforts_of(aspects)
    beside = _always(aspects)
    if unused := quoted(comfort_words.unused_names(aspects), at_most=8):
        beside.append(f"Never taken out, as far as you noted, so not judged: {unused}.")
    if not gains:
        nothing = (
            "Nothing that is carried for comfort alone was along on some scored days and at home "
            "on others, so nothing can be judged yet."
        )
        return Section(_SHELF, (nothing, *beside))
    # What a sentence names is drawn, too.
    lower = [gain for gain in _lower(gains)[:_NAMED] if gain not in gains[:_SHOWN]]
    shown = [*gains[:_SHOWN], *lower]
    named = ", and those named with lower scores" if lower else ""
    answer = _verdicts(gains, display)
    caption = "Dots: gains in points of a score from 1 to 5; lines: very likely ranges. " + (
        f"The {_SHOWN} of {len(gains)} that most probably help{named}; all are in the table below."
        if len(gains) > len(shown)
        else "The most probable help first."
    )
    alt = f"{answer[0]} One row for each gain, a dot with its very likely range."
    return Section(
        _SHELF,
        tuple(answer),
        Figure("gains", alt, gains_chart(shown), caption) if len(gains) > 1 else None,
        shelf_table(gains, settle, display),
        (*beside, *_shelf_notes(gains)),
    )


def _verdicts(gains: Sequence[Gain], display: Display) -> list[str]:
    earned, probably = (comfort_words.by_verdict(gains, v) for v in ("earned", "probably"))
    answer = [
        f"{comfort_words.gain_named(g)} earned its weight: {comfort_words.gain_words(g, display)}."
        for g in earned[:3]
    ]
    if earned and len(gains) > 1:
        answer[-1] += f" But {comfort_words.by_chance(gains)}."
    if not earned:
        answer.append("No comfort has earned its weight beyond doubt yet.")
    if probably:
        answer.append(f"Probably worth carrying: {comfort_words.with_aspects(probably)}.")
    open_ones = comfort_words.undecided_names(gains)
    if open_ones:
        answer.append(
            f"Too early to say: {quoted(open_ones, at_most=8)}. They may help or hinder; the log "
            f"cannot say yet.{_worse(gains)}"
        )
    tied = comfort_words.not_apart_names(gains)
    if tied:
        answer.append(
            f"Goes with better days: {quoted(tied, at_most=8)}. It came along on easy trips, or "
            "from some day on, so what it adds cannot be told apart from them. Take it on a harder "
            "mild trip, or leave it at home on an easy one."
        )
    return answer


def _worse(gains: Sequence[Gain]) -> str:
    """What of the undecided went with lower scores, which is no verdict; blank where nothing."""
    each = [
        f"{comfort_words.gain_named(g)} ({g.aspect} {comfort_words.points_text(g.gain.value)})"
        for g in _lower(gains)
    ]
    if not each:
        return ""
    return (
        f" Scores so far were lower with {listing(each, at_most=_NAMED)}, but "
        f"{comfort_words.by_chance(gains)}."
    )


def _lower(gains: Sequence[Gain]) -> list[Gain]:
    return [g for g in gains if g.gain.high < 0 and g.verdict == "not_known"]


def _always(aspects: Sequence[AspectGains]) -> list[str]:
    """What was along on every scored day, with the aspects where it is not so in all."""
    where: dict[str, list[str]] = {}
    for aspect in aspects:
        for thing in aspect.days.always.things if aspect.days.always else ():
            if carried_for_comfort(thing):
                where.setdefault(thing.name, []).append(aspect.aspect)
    each = [
        in_marks(name) if len(scores) == len(aspects) else f"{in_marks(name)} ({listing(scores)})"
        for name, scores in sorted(where.items())
    ]
    named = listing(each, at_most=8)
    return [f"Always along on the days with a score, so not judged: {named}."] if each else []


def _from_to(shares: Sequence[float]) -> str:
    """ "18 %", or "6 % to 74 %, depending on the thing"; the shares are in order."""
    first, last = percent(shares[0]), percent(shares[-1])
    return first if first == last else f"{first} to {last}, depending on the thing"


def _shelf_notes(gains: Sequence[Gain]) -> tuple[str, ...]:
    shares = sorted(1 - g.prior_share for g in gains)
    return (
        f"Chance of help: {percent(0.95)} and more has earned its weight, {percent(0.8)} and more "
        "probably helps. Rows go by it, not by points per weight, which would put the tiniest "
        "things first. A verdict asks only whether a thing helps: “"
        f"{comfort_words.LOWER_SO_FAR}” is none, however sure it looks.",
        "Before looking at your scores we assume that nine gains in ten are smaller than "
        f"{_PRIOR_POINTS:g} points; how varied gains are is learnt from all of them together. Your "
        f"own days reduced that uncertainty by {_from_to(shares)}.",
        "Place: where a thing may stand by gain among the comforts of its aspect; overlapping "
        "places are ties. Trips to settle: trips on which you would do the opposite of your habit "
        "(leave it, or take it) before the answer is clear, if the gain is as large as it looks.",
        f"Goes with better days: {percent(NOT_APART)} or more of what its days could say is said "
        "by the ease of the trips or the course of time as well, more than accident would bring.",
    )


def gain_by_weight_section(page: "ComfortPage") -> Section:
    """What the grams brought, and the edge that nothing lighter beats."""
    aspects, display = page.aspects, page.display
    heading = "Weight against gain"
    gains = [gain for gain in comfort_words.comforts_of(aspects) if gain.bundle.weight_g]
    if not aspects:
        return Section.empty(heading, _NO_SCORES)
    if not gains:
        return Section.empty(heading, "a weighed comfort that was along on some scored days only")
    answer = [
        f"With {comfort_words.gain_named(g)}, a point of {g.aspect} score "
        f"weighed about {mass(_tens(per.value), display)} ({_range(per, display)})."
        for g in gains
        if g.verdict == "earned" and (per := g.g_per_point) is not None
    ]
    if not answer:
        answer = [
            "No comfort’s gain is clearly above zero yet, so weight per point would mean nothing."
        ]
    edge = efficient_edge(gains)
    if edge:
        answer.append(
            f"On the efficient edge, where nothing lighter probably helps more: "
            f"{comfort_words.with_aspects(edge)}."
        )
    figure = None
    if len(gains) > 2:
        figure = Figure(
            "weight-against-gain",
            f"{answer[0]} Weight to the right, gain upwards, each dot a thing and an aspect.",
            weight_chart(gains, display),
            "Each dot is a thing in one aspect, its line the very likely range where it probably "
            "helps. Dashed: the efficient edge, the most gain so far at each weight.",
        )
    return Section(
        heading,
        tuple(answer),
        figure,
        replace(weight_table(gains, display), fold_after=len(gains)),
        ("Weight per point is given only where the very likely range of the gain excludes zero.",),
        fold=f"All {len(gains)} gains by weight, and their picture" if figure else "Gain by weight",
    )


def _range(per: Estimate, display: Display) -> str:
    """Both ends, but no upper one where that is beyond all measure."""
    low = mass(_tens(per.low), display)
    if per.high > _BEYOND * per.value:
        return f"at least {low}"
    return f"{low} to {mass(_tens(per.high), display)}"


def _tens(grams: float) -> float:
    """To two digits: more would pretend to be known."""
    return float(f"{grams:.2g}")


def swaps_section(page: "ComfortPage") -> Section:
    """The changes on coming mild trips that would teach the most."""
    swaps, aspects = page.swaps, page.aspects
    heading = "What to try next"
    if not aspects:
        return Section.empty(heading, _NO_SCORES)
    if not swaps:
        return Section.empty(heading, "a change of comforts that would teach anything")
    return Section(
        heading,
        tuple(
            f"{comfort_words.swap_title(swap)} on the next mild trip. "
            f"{comfort_words.swap_reason(swap)}"
            for swap in swaps
        ),
        table=swap_table(swaps),
        notes=(
            "Picked by how much the trip would shrink the uncertainty of all comforts’ gains, as "
            "variance, beyond the same trip packed as usual. One change per trip tells more than "
            "three at once. Score the days as always.",
        ),
        caution=SWAP_CARE,
        fold=_below_the_first(len(swaps) - 1),
    )


def _below_the_first(more: int) -> str:
    """What stands below the first change."""
    known = "how much each would tell, and how they were picked"
    if not more:
        return "How much it would tell, and how it was picked"
    return f"{count(more, 'more change')[:1].upper()}{count(more, 'more change')[1:]}, {known}"


def sureness_section(page: "ComfortPage") -> Section:
    """What stands behind the gains: spreads, the prior, scores as ranks, power."""
    aspects, as_ranks, display = page.aspects, page.as_ranks, page.display
    heading = "How sure this is"
    if not aspects:
        return Section.empty(heading, _NO_SCORES)
    most = max(aspects, key=lambda a: (len(a.days.rows), a.aspect))
    answer = [
        f"After {count(most.fit.trips, 'trip')}, little is certain about single things. Trips "
        f"differ by about {number(most.fit.trip_sd.value, 1)} points for reasons of their own, "
        f"days by {number(most.fit.noise_sd.value, 1)}."
    ]
    if len(most.days.rows) < comfort_words.FEW_DAYS:
        answer.append(
            "With so few scores, what is shown is mostly what was assumed beforehand. Score every "
            "night, and leave a comfort at home now and then."
        )
    slopes = [comfort_words.slopes(a, display) for a in aspects]
    answer += [line for line in slopes if line]
    blank = comfort_words.not_written(aspects)
    if blank:
        answer.append(
            "How easy trips were is only partly known: there is nothing to go by for "
            f"{listing(blank)}. So the verdicts are more careful."
        )
    if comfort_words.comforts_of(aspects):
        answer.append(_ranks(aspects, as_ranks))
    return Section(
        heading,
        tuple(answer),
        notes=(
            "What came along is compared with what stayed at home, not what was used with what was "
            "not: on bad nights people reach for things. Comforts come along on easy trips, and "
            "scores may rise with the years. So distance, climb, length, rain, warmth, way of "
            "travelling and the date are allowed for as far as they are written down, and beyond "
            "that what comforts have in common in coming along.",
            "In invented logbooks, almost no gain of more than half a point could be proved after "
            "12 trips, and three in ten after 40. Swaps make that faster.",
            "Printed in the terminal, the table of gains has every thing that came along, comforts "
            "or not.",
        ),
        fold="What was allowed for, and how this was worked out",
    )


def _ranks(aspects: Sequence[AspectGains], as_ranks: Mapping[str, Array | None]) -> str:
    changed = []
    for aspect in aspects:
        ranks = as_ranks.get(aspect.aspect)
        if ranks is None:
            continue
        for bundle, chance in zip(aspect.days.bundles, ranks, strict=True):
            gain = next(g for g in aspect.gains if g.bundle is bundle)
            if gain.verdict == "goes_with_better_days":
                continue
            if bundle.for_comfort and verdict_at(chance) != gain.verdict:
                other = comfort_words.VERDICTS[verdict_at(chance)].lower()
                changed.append(f"{comfort_words.gain_and_aspect(gain)} would be “{other}”")
    if not changed:
        return "If scores are taken as ranks rather than numbers, the verdicts are the same."
    return sentence(
        f"If scores are taken as ranks rather than numbers, {listing(changed, at_most=4)}"
    )
