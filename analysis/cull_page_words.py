"""What the page of a season says: what to leave, what that may cost, what narrows the answer."""

from collections.abc import Iterable, Sequence

from tarebook.analysis.cull_results import Answer, Cull, FrontierPoint, LeftItem
from tarebook.analysis.debrief_words import listed, named
from tarebook.analysis.scope import by_mode
from tarebook.analysis.section import Point
from tarebook.analysis.verdicts import Judged
from tarebook.analysis.words import Display, count, listing, mass, number, percent, sentence
from tarebook.tripdata.units import OZ_G

TITLE = "What to leave at home"
ROBUST = 0.995  # in every one of the answers that were tried
_NUMBERS = (
    "no", "this one thing", "these two", "these three", "these four", "these five", "these six",
    "these seven", "these eight", "these nine", "these ten", "these eleven", "these twelve",
)  # fmt: skip


def misses(expected: float) -> str:
    """Return expected misses of a trip in words: "about one miss in 9 trips"."""
    if expected < 0.0005:
        return "hardly a miss"
    if expected < 0.01:
        return f"about one miss in {number(round(1 / expected, -1))} trips"
    if expected < 0.7:
        return f"about one miss in {number(round(1 / expected))} trips"
    if expected < 1.3:
        return "about one miss on every trip"
    return f"about {number(expected, 1)} misses a trip"


def these(n: int) -> str:
    """Return how many things in words: "these five"."""
    return _NUMBERS[n] if n < len(_NUMBERS) else f"these {n}"


def shelves(cull: Cull) -> dict[str, list[Judged]]:
    """Return what was judged by its verdict, the heaviest first."""
    found: dict[str, list[Judged]] = {}
    for judged in sorted(cull.judged, key=lambda j: (-(weight_g(cull, j) or 0), j.about.item)):
        found.setdefault(judged.verdict or "given_up", []).append(judged)
    return found


def weight_g(cull: Cull, judged: Judged) -> float | None:
    """Return what a thing weighs as it is usually carried as base, else one piece of it."""
    return cull.loads_g.get(judged.about.item, judged.about.weight_g)


def names_of(cull: Cull, items: Iterable[str]) -> list[str]:
    """Return the names of some items, the heaviest first."""
    by_item = {j.about.item: j for j in cull.judged}
    chosen = sorted(items, key=lambda i: (-(weight_g(cull, by_item[i]) or 0), i))
    return [by_item[i].about.name for i in chosen]


def headline(cull: Cull, display: Display) -> str:
    """Return the answer in one sentence."""
    answer = cull.answer
    if not answer.left:
        return _nothing(cull, display)
    saved = f"{mass(answer.point.saved_g, display)} less, {misses(answer.point.expected_misses)}"
    first = f"Leave {these(len(answer.left))} at home: {saved}"
    if not answer.reached:
        return sentence(
            f"{first}. That is all that may be left, short of the "
            f"{mass(answer.wanted_g, display)} asked for"
        )
    return sentence(first)


def _nothing(cull: Cull, display: Display) -> str:
    wish, base = cull.wish, cull.base.grams
    if wish.target_g is not None and base is None:
        return "No base weight is known, so there is nothing to measure the target from."
    if wish.target_g is not None and base is not None and base <= wish.target_g:
        return f"Your usual base weight, {mass(base, display)}, is within the target already."
    if cull.answer.wanted_g > 0:
        return "Nothing that is weighed may be left at home."
    waiting = [j.more for j in cull.judged if j.verdict == "too_few_trips" and j.more is not None]
    trips = count(cull.usage.scoped.recorded, "trip")
    if waiting:
        return (
            f"Nothing can be let go on the record of {trips}: the first verdicts could fall after "
            f"{count(min(waiting), 'more trip')}."
        )
    return f"Nothing can be let go on the record of {trips}."


def lines(cull: Cull, display: Display) -> tuple[str, ...]:
    """Return what was looked back on."""
    scoped = cull.usage.scoped
    base = cull.base
    told = [scoped.text]
    if base.grams is not None:
        usual = mass(base.grams, display, at_least=base.at_least)
        told.append(_usual(usual, base.trips, [t.mode for t in scoped.trips if t.nights]))
    return tuple(told)


def _usual(grams: str, trips: int, modes: Sequence[str | None]) -> str:
    """The median base weight; walking, bike and boat have no usual one together."""
    of = f"the median of {count(trips, 'trip')}"
    ways = sorted({mode for mode in modes if mode is not None})
    if len(ways) > 1:
        together = listing([by_mode(way) for way in ways])
        return f"Base weight {grams}, {of} {together} together: no usual weight of any of them"
    if trips > 1 and None in modes:
        return f"Base weight {grams}, {of}, of which some do not say how you travelled"
    return f"Usual base weight {grams}, {of}"


def notices(cull: Cull, set_aside: int) -> tuple[str, ...]:
    """Return what the reader must know of the data."""
    scoped = cull.usage.scoped
    found = []
    if set_aside:
        verb = "is" if set_aside == 1 else "are"
        found.append(
            f"{count(set_aside, 'record')} could not be read and {verb} missing here. Run tarebook "
            "check: it names each of them and what to correct."
        )
    if not scoped.recorded:
        found.append("What was used is noted for none of the trips, so nothing can be judged.")
    elif scoped.recorded < len(scoped.trips):
        rest = len(scoped.trips) - scoped.recorded
        found.append(
            f"What was used is not noted for {count(rest, 'trip')}: things count as carried there, "
            "never as unused."
        )
    if cull.unweighed:
        verb = "has" if len(cull.unweighed) == 1 else "have"
        found.append(
            f"{named(cull.unweighed)} {verb} no weight yet and cannot be part of a saving."
        )
    if cull.wish.undecided:
        found.append(
            "What had too few chances, or none, was asked in. Of things without a chance the "
            "figures are those of their system's others."
        )
    return tuple(found)


def points(cull: Cull, display: Display) -> tuple[Point, ...]:
    """Return the answer in short."""
    by_verdict = shelves(cull)
    told = [Point("Leave at home", headline(cull, display), _left_names(cull.answer, cull))]
    never = [j for j in cull.judged if j.verdict and j.counts.never_used]
    if never:
        insurance = sum(j.about.insurance for j in never)
        more = f"{insurance} of them {_be(insurance)} insurance, kept on purpose."
        many = sum(j.verdict is not None for j in cull.judged)
        told.append(Point("Never used", f"{len(never)} of the {many} things still owned that came "
                          "along.", more if insurance else ""))  # fmt: skip
    early = by_verdict.get("too_few_trips", []) + by_verdict.get("no_chance_yet", [])
    if early:
        told.append(
            Point("Too early to tell", sentence(named([j.about.name for j in early])),
                  "More trips would tell: see below how many.")
        )  # fmt: skip
    unsure = [item for item in cull.answer.left if item.inclusion < ROBUST]
    sure = [item for item in cull.answer.left if item.inclusion >= ROBUST]
    if cull.answer.left:
        told.append(Point("How sure", *_how_sure(sure, unsure)))
    return tuple(told)


def _be(n: int) -> str:
    return "is" if n == 1 else "are"


def _left_names(answer: Answer, cull: Cull) -> str:
    if not answer.left:
        return ""
    return sentence(listed(names_of(cull, answer.point.items)))


def _how_sure(sure: Sequence[LeftItem], unsure: Sequence[LeftItem]) -> tuple[str, str]:
    tried = "answer that was tried, with rates, weather and costs varied."
    if not unsure:
        return f"Every one of them is in every {tried}", ""
    least = min(unsure, key=lambda item: (item.inclusion, item.item))
    more = f"{least.name} is the least sure: in {percent(least.inclusion)} of them."
    if not sure:
        return f"A close choice: none of them is in every {tried}", more
    verb = "is" if len(sure) == 1 else "are"
    return f"{named([item.name for item in sure])} {verb} in every {tried}", more


def next_step_g(display: Display) -> float:
    """Return the step that the page looks ahead: 200 g, or 8 oz."""
    return 200.0 if display.mass == "g" else 8 * OZ_G


def beyond(cull: Cull, grams: float) -> FrontierPoint | None:
    """Return the cheapest way to save so much more than the answer; None where there is none."""
    wanted = cull.answer.point.saved_g + grams
    return next((p for p in cull.frontier if p.saved_g >= wanted), None)
