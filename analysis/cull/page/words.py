"""What the page of a season says: what to leave, what that may cost, what narrows the answer."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Sized
from dataclasses import replace

from ....tripdata.units import OZ_G
from ...display.cautions import LEAVING_CARE
from ...display.sections import Point
from ...display.thing_names import listed, named
from ...display.words import Display, count, listing, mass, one_in, percent, sentence, wanted
from ...stats.zero_one import LeftSet
from ...store.set_aside import set_aside_notice
from ...usage import held_words
from ...usage.conditions import TripKind
from ...usage.keep_rules import FEWEST_JUDGED, TOO_MANY_COLD
from ...usage.missing_odds import missing_odds, wanted_at_most
from ...usage.verdict_words import leave_only_while
from ...usage.verdicts import Judged
from ..culling import DRAWS
from ..results import Cull, LeftItem

CLOSE = 0.6  # in fewer of the answers that were tried, a thing might as well stay
KIND_WORDS: Mapping[TripKind, str] = {
    "dry_warm": "Dry and warm",
    "wet": "Wet, but not cold",
    "cold": "Cold, but not wet",
}
IF_WEATHER: Mapping[TripKind, str] = {
    "wet": "If it may be wet",
    "cold": "If nights may be cold",
}
_NUMBERS = (
    *("no", "this one thing", "these two", "these three", "these four", "these five", "these six"),
    *("these seven", "these eight", "these nine", "these ten", "these eleven", "these twelve"),
)


def these(n: int) -> str:
    """Return how many things in words: "these five"."""
    return _NUMBERS[n] if n < len(_NUMBERS) else f"these {n}"


def shelves(cull: Cull) -> dict[str, list[Judged]]:
    """Return what was judged by its verdict, the heaviest first."""
    by_verdict: dict[str, list[Judged]] = {}
    for judged in sorted(cull.judged, key=lambda j: (-(weight_g(cull, j) or 0), j.about.item)):
        by_verdict.setdefault(judged.verdict or "given_up", []).append(judged)
    return by_verdict


def agreeing(things: Sized, one: str = "is", many: str = "are") -> str:
    """Return the word that goes with so many things."""
    return one if len(things) == 1 else many


def weight_g(cull: Cull, judged: Judged) -> float | None:
    """Return what a thing weighs as it is usually carried as base, else one piece of it."""
    return cull.loads_g.get(judged.about.item, judged.about.weight_g)


def names_by_weight(cull: Cull, items: Iterable[str]) -> list[str]:
    """Return the names of some items, the heaviest first."""
    by_item = cull.by_item
    chosen = sorted(items, key=lambda i: (-(weight_g(cull, by_item[i]) or 0), i))
    return [by_item[i].about.name for i in chosen]


def conditions(cull: Cull, items: Iterable[str]) -> tuple[str, ...]:
    """Return a sentence on each of some things that stays at home beside another thing alone."""
    by_item = cull.by_item
    beside = {by_item[item].about.name: other for item, other in cull.only_beside(items).items()}
    return leave_only_while(beside, beside)


def price(point: LeftSet) -> str:
    """Return what leaving a set costs: "you would want one of them about once in 9 trips"."""
    return wanted(point.misses, len(point.items))


def price_in_range(cull: Cull) -> str:
    """The same of the answer, with how often at most: the draws are of all that it leaves."""
    left = [cull.by_item[item] for item in sorted(cull.answer.point.items)]
    odds = replace(missing_odds(cull.usage, left), value=cull.answer.point.misses)
    return wanted_at_most(odds, len(left))


def which_trips(cull: Cull) -> str:
    """Return for which trips the answer holds: "on trips like these", or those that are named."""
    titles = [f"“{trip.title}”" for trip in cull.around.to_come]
    return f"on {listing(titles)}" if titles else "on trips like these"


def leave_headline(cull: Cull, display: Display) -> str:
    """Return the answer in one sentence."""
    answer = cull.answer
    if not answer.left:
        return _nothing(cull, display)
    saved = f"{mass(answer.point.saved_g, display)} less; {price_in_range(cull)}"
    first = f"Leave {these(len(answer.left))} at home {which_trips(cull)}: {saved}"
    if not answer.reached:
        return sentence(
            f"{first}. That is all that could stay at home, less than the "
            f"{mass(answer.wanted_g, display)} asked for"
        )
    return sentence(first)


def leave_sentence(cull: Cull, display: Display) -> str:
    """The answer in one sentence that names what it is about, for a page that lists none of it."""
    answer = cull.answer
    if not answer.left:
        return _nothing(cull, display)
    names = named(names_by_weight(cull, answer.point.items))
    saved = f"{mass(answer.point.saved_g, display)} less; {price_in_range(cull)}"
    first = sentence(f"{names} could stay at home {which_trips(cull)}: {saved}")
    return " ".join((first, *conditions(cull, answer.point.items)))


def _nothing(cull: Cull, display: Display) -> str:
    wish, base = cull.wish, cull.base.grams
    if wish.target_g is not None and base is None:
        return "No base weight is known, so there is nothing to measure the target from."
    if wish.target_g is not None and base is not None and base <= wish.target_g:
        return f"Your usual base weight, {mass(base, display)}, is within the target already."
    if cull.answer.wanted_g > 0:
        return f"Nothing that is weighed could stay at home {which_trips(cull)}."
    waiting = [
        j.more
        for j in cull.judged
        if j.verdict == "too_few_trips" and j.more is not None and j.held is None
    ]
    trips = count(cull.usage.scoped.recorded, "trip")
    first = f"On the record of {trips} nothing can stay at home yet."
    if waiting:
        more = count(min(waiting), "more trip")
        return f"{first} The first thing could after {more} without needing it."
    return first


def held_notices(cull: Cull) -> tuple[str, ...]:
    """Return what keeps things on the list whatever the counts: trips to come, and cold nights."""
    around, sentences = cull.around, []
    for trip in around.to_come:
        ways = Counter(
            j.held.how
            for j in cull.judged
            if j.held is not None and j.held.why == "outside" and j.held.by == (trip.title,)
        )
        if ways:
            whose = "its" if ways.total() == 1 else "their"
            how = held_words.beyond(ways.most_common(1)[0][0], whose)
            sentences.append(
                f"“{trip.title}” lies beyond the record of {count(ways.total(), 'thing')}: it "
                f"{how}. {'It is not' if ways.total() == 1 else 'None of them is'} advised against."
            )
    verb = "was" if around.too_cold == 1 else "were"
    if around.too_cold and around.too_cold >= TOO_MANY_COLD * around.judged:
        sentences.append(
            f"{around.too_cold} of the {count(around.judged, 'night')} that you judged {verb} "
            "too cold. While at least one in ten is, no clothing, nothing for sleep and nothing "
            "meant for cold is advised against."
        )
    elif around.p_too_cold is not None and around.p_too_cold[0] > TOO_MANY_COLD:
        sentences.append(
            f"The chance of a too cold night on “{around.p_too_cold[1]}” is "
            f"{one_in(around.p_too_cold[0])}. Over one in ten, no clothing, nothing for sleep and "
            "nothing meant for cold is advised against."
        )
    elif around.bed_wanting is not None:
        sentences.append(
            f"What you sleep in on “{around.bed_wanting}” lacks something or is not mended. Until "
            "it is whole, no clothing, nothing for sleep and nothing meant for cold is advised "
            "against."
        )
    elif around.judged < FEWEST_JUDGED:
        nights = count(around.judged, "night")
        sentences.append(
            f"How warm you slept is noted for {nights}. Until it is noted for five, in the column "
            "“warmth” of comfort.csv, nothing meant for cold is advised against."
        )
    return tuple(sentences)


def scope_lines(cull: Cull, display: Display) -> tuple[str, ...]:
    """Return what was looked back on."""
    scoped, base = cull.usage.scoped, cull.base
    if base.grams is None:
        return (scoped.text,)
    modes = [t.mode for t in scoped.trips if t.nights]
    if len({mode for mode in modes if mode is not None}) > 1:
        return (scoped.text,)  # Walking, bike and boat have no usual weight together.
    usual = mass(base.grams, display, at_least=base.at_least)
    return scoped.text, _usual(usual, base.trips, modes)


def _usual(grams: str, trips: int, modes: Sequence[str | None]) -> str:
    """The median base weight of one way of travelling, as far as it is noted."""
    of = f"the median of {count(trips, 'trip')}"
    if trips > 1 and None in modes:
        return f"Base weight {grams}, {of}, of which some do not say how you travelled"
    return f"Usual base weight {grams}, {of}"


def reader_notices(cull: Cull, set_aside: int) -> tuple[str, ...]:
    """Return what the reader must know of the answer and of the data."""
    return (*_of_the_data(cull, set_aside), *held_notices(cull))


def leaving_care(cull: Cull) -> str:
    """The caution where anything at all is named to leave at home; else blank."""
    silent = any(j.verdict == "owner_to_say" for j in cull.judged)
    return LEAVING_CARE if cull.answer.left or cull.frontier or silent else ""


def _of_the_data(cull: Cull, set_aside: int) -> tuple[str, ...]:
    scoped = cull.usage.scoped
    sentences = [*set_aside_notice(set_aside, "these trips")]
    if not scoped.recorded:
        sentences.append("What was used is noted for none of the trips, so nothing can be judged.")
    elif scoped.recorded < len(scoped.trips):
        rest = len(scoped.trips) - scoped.recorded
        sentences.append(
            f"What was used is not noted for {count(rest, 'trip')}: things count as carried there, "
            "never as unused."
        )
    if cull.unweighed:
        names, have = named(cull.unweighed), agreeing(cull.unweighed, "has", "have")
        sentences.append(f"{names} {have} no weight yet and cannot be part of a saving.")
    if cull.wish.undecided:
        sentences.append(
            "Things with too few occasions, or none, were considered too, as you asked. That is a "
            "sum, not advice. Those without an occasion take their figures from the other things "
            "of their system."
        )
    return tuple(sentences)


def answer_points(cull: Cull, display: Display) -> Iterator[Point]:
    """Give the answer in short; what it is too early to say of only where there is no answer."""
    by_verdict, left = shelves(cull), cull.answer.left
    names = sentence(listed(names_by_weight(cull, cull.answer.point.items))) if left else ""
    only = conditions(cull, cull.answer.point.items)
    yield Point("Leave at home", leave_headline(cull, display), " ".join((names, *only)).strip())
    if left:
        yield Point("How sure", *how_sure(left))
    if silent := by_verdict.get("owner_to_say", []):
        wait = f"{count(len(silent), 'thing')} {agreeing(silent, 'waits', 'wait')}"
        yield Point(
            "For you to say",
            f"{wait} for you to say what {agreeing(silent, 'it is', 'they are')} for.",
            sentence(named([j.about.name for j in silent])),
        )
    owned = [j for j in cull.judged if j.verdict is not None]
    if never := [j for j in owned if j.counts.never_used]:
        insured = [j for j in never if j.about.insurance]
        more = f"{len(insured)} of them {agreeing(insured)} insurance, kept on purpose."
        yield Point(
            "Never used",
            f"{len(never)} of the {_whose(owned)} were never used.",
            more if insured else "",
        )
    early = by_verdict.get("too_few_trips", []) + by_verdict.get("no_chance_yet", [])
    if early and not left:
        names = sentence(named([j.about.name for j in early]))
        counted = any(j.held is None and j.more is not None for j in early)
        more = "More trips would tell; how many is said below." if counted else ""
        yield Point("Too early to say", names, more)


def _whose(here: Sequence[Judged]) -> str:
    """How many things came along, and whose they are."""
    if lent := sum(j.about.owner is not None for j in here):
        return (
            f"{len(here)} things that came along and are not given up, "
            f"{len(here) - lent} your own and {lent} borrowed,"
        )
    return f"{len(here)} things still owned that came along"


def how_sure(left: Sequence[LeftItem]) -> tuple[str, str]:
    """Return how often things came up when all that is uncertain was varied, and which least."""
    least = min(left, key=lambda item: (item.inclusion, item.item))
    close = [item.name for item in left if item.inclusion < CLOSE]
    if close:
        return (
            f"{named(close)} {agreeing(close)} a close call.",
            "With rates, weather and costs varied, other things came out about as well.",
        )
    share = "every one" if least.inclusion >= 1 else percent(least.inclusion)
    if len(left) == 1:
        return f"It came up in {share} of the {DRAWS} variations tried.", ""
    whole = "Both" if len(left) == 2 else f"All {these(len(left)).removeprefix('these ')}"
    more = " or more" if least.inclusion < 1 else ""
    return f"{whole} came up in {share}{more} of the {DRAWS} variations tried.", ""


def next_step_g(display: Display) -> float:
    """Return the step that the page looks ahead: 200 g, or 8 oz."""
    return 200.0 if display.mass == "g" else 8 * OZ_G


def point_beyond(cull: Cull, grams: float) -> LeftSet | None:
    """Return the cheapest way to save so much more than the answer; None where there is none."""
    wanted = cull.answer.point.saved_g + grams
    return next((p for p in cull.frontier if p.saved_g >= wanted), None)
