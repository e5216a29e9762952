"""The sections of a season's page on the answer: what to leave, what more would cost, in rain."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ...display.cautions import WEATHER_CARE
from ...display.figure import Figure
from ...display.sections import Section
from ...display.thing_names import named
from ...display.words import Display, count, mass, number, percent, sentence
from ...stats.zero_one import LeftSet
from ...usage.conditions import TripKind
from ..culling import DRAWS
from ..results import Cull, KindOfTrip
from . import charts, tables
from .trips_to_come import for_weather, weather_source
from .words import (
    IF_WEATHER,
    KIND_WORDS,
    agreeing,
    conditions,
    leave_headline,
    names_by_weight,
    next_step_g,
    point_beyond,
    price,
)

if TYPE_CHECKING:
    from .page import CullPage

_MOST_DOTS = 500
_STOP_AT = 1.6  # points of regret a trip: beyond, one would rather carry it
_IN_ITS_WEATHER = (
    "What is meant for wet or cold is never left at home here on such a trip, used or not."
)
_GROUPS = {
    "leave": charts.LEAVE,
    "too_few_trips": charts.EARLY,
    "keep": charts.KEEP,
    "kept_on_purpose": charts.PURPOSE,
    "owner_to_say": charts.ASK,
}


def what_to_leave_section(page: "CullPage") -> Section:
    """The set to leave, in a picture of weight against use; folded where there is nothing."""
    cull, display, heading = page.data, page.display, "Weight against use"
    first, left = _in_the_picture(cull, display), bool(cull.answer.left)
    figure = _picture(cull, display, first)
    if figure is None and not left:
        return Section.empty(heading, "nothing to leave, and too few things for a picture")
    return Section(
        heading,
        (first, *_more(cull)),
        figure,
        tables.left_table(cull, display) if left else None,
        _notes(cull),
        fold="" if left else "What each thing weighs, and how often it is used",
    )


def _in_the_picture(cull: Cull, display: Display) -> str:
    answer, by_item = cull.answer, cull.by_item
    if not answer.left:
        return leave_headline(cull, display)
    many = count(len(answer.left), "thing")
    first = f"{many} to leave at home, {mass(answer.point.saved_g, display)}"
    left = [by_item[item.item] for item in answer.left]
    if any(j.verdict != "leave" for j in left):
        return sentence(f"{first}: {price(answer.point)}")
    highest = max(j.bound for j in left)
    each = "it is" if len(left) == 1 else "each is"
    return f"{first}: {each} probably needed on fewer than {percent(highest)} of its occasions."


def _more(cull: Cull) -> list[str]:
    answer = cull.answer
    if not answer.left:
        return []
    sentences = []
    leave = {j.about.item for j in cull.judged if j.verdict == "leave"}
    beyond = names_by_weight(cull, set(answer.point.items) - leave)
    if beyond:
        verb, of = agreeing(beyond), agreeing(beyond, "its verdict", "their verdicts")
        sentences.append(
            f"{named(beyond)} {verb} not on the list by {of}, but part of the cheapest way to "
            "save so much. This is a sum, not advice."
        )
    rest = names_by_weight(cull, (leave & cull.loads_g.keys()) - set(answer.point.items))
    if rest:
        sentences.append(f"{named(rest)} could stay at home, too, but need not for this saving.")
    return sentences


def _notes(cull: Cull) -> tuple[str, ...]:
    notes = [
        "A thing with few occasions is judged partly by how often the others of its system are "
        "used. Weights, and how often you would want a thing, are those of a trip on which all of "
        "it would have come along. Bulk is not known.",
        tables.BOUND_NOTE,
    ]
    if cull.answer.left:
        notes.append(
            f"{DRAWS} variations were tried: rates and weather within what the log leaves open, "
            "and the cost of missing each thing halved, kept or doubled."
        )
    leave = [j.about for j in cull.judged if j.verdict == "leave"]
    elsewhere = [about.name for about in leave if about.item not in cull.loads_g]
    if elsewhere:
        notes.append(
            f"{named(elsewhere)} could stay at home as well, but that saves no base weight that is "
            "known: worn, eaten, bolted on or not weighed."
        )
    return tuple(notes)


def _picture(cull: Cull, display: Display, alt: str) -> Figure | None:
    dots = []
    for judged in cull.judged:
        rate, grams = judged.usage.rate, cull.loads_g.get(judged.about.item)
        group = _GROUPS.get(judged.verdict or "")
        if group and grams is not None and rate.n:
            record = tables.uses_of(judged)
            dots.append(charts.ThingDot(judged.about.name, group, grams, rate, record))
    if len(dots) < 3:
        return None
    more = len(dots) - _MOST_DOTS
    # What could stay at home is in the picture, then what weighs most.
    dots.sort(key=lambda dot: (dot.group != charts.LEAVE, -dot.weight_g))
    rest = f" {count(more, 'more thing')} without a dot." if more > 0 else ""
    return Figure(
        "weight-against-use",
        f"{alt} Each dot is a thing: the higher, the heavier; the farther left, the less used.",
        charts.weight_against_use(dots[:_MOST_DOTS], display),
        "What is carried as base weight and had an occasion to be used. Shaded: needed on fewer "
        f"than {percent(1 / 3)} of its occasions, where what is only an annoyance to miss may stay "
        "at home; the higher up, the more it saves. Triangles stay, wherever they lie. Lines are "
        f"very likely ranges.{rest}",
    )


def next_cost_section(page: "CullPage") -> Section:
    """The frontier: what saving more would cost."""
    cull, display = page.data, page.display
    heading, answer = _next_heading(cull, display), cull.answer.point
    if not cull.frontier:
        return Section.empty(heading, "nothing that is weighed may be left")
    sentences = _next(cull, display)
    cheap = [p for p in cull.frontier if p.regret <= 0.34]
    if cheap and cheap[-1].saved_g > answer.saved_g + 0.5:
        sentences.append(
            f"Up to {mass(cheap[-1].saved_g, display)} the expected cost stays under a third of an "
            "annoyance per trip."
        )
    stop = max(_STOP_AT, 1.3 * answer.regret)
    line = charts.FrontierLine("Any trip", cull.frontier, answer)
    figure = Figure(
        "frontier",
        f"{sentences[0]} A rising line of steps: the more is saved, the more is missed.",
        charts.frontiers([line], stop, display),
        "Each dot is the cheapest choice for its weight, solved exactly. Its cost counts a missed "
        "annoyance as 1, a spoilt night as 3, danger as 10. The diamond is the answer above; "
        "the table has the whole line.",
    )
    return Section(
        heading,
        tuple(sentences),
        figure if len(cull.frontier) > 1 else None,
        tables.frontier_table(cull.frontier, cull, display),
        (
            "A step is a sum, not advice: it says what a saving would cost. Only the list above is "
            "meant to be followed.",
            "Where a step looks wrong, say in gear.csv what going without the thing would cost, "
            "from 1 (an annoyance) to 10 (danger). Until then the figure of its system counts.",
            *conditions(cull, {item for point in cull.frontier for item in point.items}),
        ),
        fold=f"What each saving costs: {count(len(cull.frontier), 'step')}",
    )


def _next_heading(cull: Cull, display: Display) -> str:
    if cull.frontier and point_beyond(cull, 1.0) is None:
        return "How much more could stay at home"
    return f"What the next {mass(next_step_g(display), display)} would cost"


def _next(cull: Cull, display: Display) -> list[str]:
    answer, step = cull.answer.point, next_step_g(display)
    point, nearest = point_beyond(cull, step), point_beyond(cull, 1.0)
    if nearest is None:
        most = mass(cull.answer.most_g, display)
        return [f"Nothing more: {most} is all that could stay at home."]

    def raises(what: str, to: LeftSet) -> str:
        return (
            f"{what} would raise the expected cost of missing things from "
            f"{number(answer.regret, 2)} to {number(to.regret, 2)} per trip: {price(to)}."
        )

    extra = mass(nearest.saved_g - answer.saved_g, display)
    if point is None:
        most = mass(cull.frontier[-1].saved_g - answer.saved_g, display)
        return [
            f"No more than {most} beyond the list could stay at home.",
            raises(f"A step of {extra}", nearest),
            _change(cull, nearest),
        ]
    sentences = [
        raises(f"The next {mass(step, display)}", point),
        _change(cull, point),
    ]
    if nearest.items != point.items:
        sentences.append(
            f"A smaller step of {extra} would bring it to {number(nearest.regret, 2)}. "
            f"{_change(cull, nearest)}"
        )
    return sentences


def _change(cull: Cull, point: LeftSet) -> str:
    before, after = cull.answer.point.items, point.items
    more, less = names_by_weight(cull, after - before), names_by_weight(cull, before - after)
    again = f", and {named(less)} would be packed after all" if less else ""
    return f"Then {named(more)} would stay at home, too{again}."


def by_kind_section(page: "CullPage") -> Section:
    """The frontier of each kind of trip, and what to add if it may be wet or cold."""
    cull, display, heading = page.data, page.display, "Dry, wet or cold"
    kinds = {k.kind: k for k in cull.by_kind}
    dry = kinds["dry_warm"]
    take = {k: names_by_weight(cull, (*kinds[k].add, *kinds[k].meant)) for k in IF_WEATHER}
    differ = any(_shape(k) != _shape(dry) for k in cull.by_kind)
    if not differ and not any(take.values()):
        return Section.empty(heading, "nothing that came along is meant for wet or cold only")
    left = {item for kind in cull.by_kind for item in kind.answer.items}
    answer, source = _dry(dry, display), weather_source(page.ahead)
    notes = (_IN_ITS_WEATHER, source, *conditions(cull, left))
    care = " ".join([*_for_the_weather(take), WEATHER_CARE])
    if not differ:
        return Section(heading, (answer,), notes=notes, caution=care)
    lines = [charts.FrontierLine(KIND_WORDS[k.kind], k.frontier) for k in cull.by_kind]
    return Section(
        heading,
        (answer,),
        Figure(
            "by-kind",
            f"{answer} Three lines of steps, one a kind of trip.",
            charts.frontiers(lines, _STOP_AT, display),
            "The least expected cost at each saving, by kind of trip. Conditions other than wet "
            "and cold come as often as in your log.",
        ),
        tables.kinds_table(cull, display),
        notes,
        caution=care,
        fold="What could stay at home by kind of trip",
    )


def _for_the_weather(take: Mapping[TripKind, Sequence[str]]) -> list[str]:
    sentences = []
    for kind, names in take.items():
        told = for_weather(kind, names)
        what = f"see that {told} come along" if told else "there is nothing to add"
        sentences.append(f"{IF_WEATHER[kind]}, {what}.")
    return [*sentences, "On other trips pack them as usual."] if any(take.values()) else sentences


def _dry(dry: KindOfTrip, display: Display) -> str:
    if not dry.answer.items:
        return "On a dry and warm trip nothing more could stay at home."
    whose = "at no greater risk of missing something than above"
    if not dry.answer.regret > 0:
        whose = "without missing any of it there: it is meant for other weather"
    return f"On a dry and warm trip {mass(dry.answer.saved_g, display)} could stay at home {whose}."


def _shape(kind: KindOfTrip) -> list[tuple[float, float]]:
    return [(p.saved_g, round(p.regret, 5)) for p in kind.frontier]
