"""The sections of a season's page on the answer: what to leave, what more would cost, in rain."""

from collections.abc import Mapping, Sequence

from ...display.figure import Figure
from ...display.sections import Section
from ...display.thing_names import listed, named
from ...display.words import Display, count, mass, number, percent, sentence
from ...usage.conditions import Kind
from ..results import Cull, FrontierPoint, KindOfTrip
from . import charts, tables
from . import words as said
from .charts import Dot

WEATHER_CARE = (
    "A forecast is no promise, and cold can injure and kill. Where a cold or wet night could be "
    "dangerous, take what keeps you warm and dry whatever the season."
)
_WHEN: Mapping[Kind, str] = {"wet": "If it may be wet", "cold": "If nights may be cold"}
KIND_WORDS = {"dry_warm": "Dry and warm", "wet": "Wet, but not cold", "cold": "Cold, but not wet"}
_STOP_AT = 1.6  # points of regret a trip: beyond, one would rather carry it
_GROUPS = {
    "leave": charts.LEAVE,
    "too_few_trips": charts.EARLY,
    "keep": charts.KEEP,
    "kept_on_purpose": charts.PURPOSE,
    "owner_to_say": charts.ASK,
}


def what_to_leave(cull: Cull, display: Display) -> Section:
    """The set to leave, in a picture of weight against use."""
    answer = cull.answer
    told = [_in_the_picture(cull, display), *_more(cull)]
    table = tables.left(cull, answer.left, display, "What to leave") if answer.left else None
    return Section(
        "Weight against use",
        tuple(told),
        _picture(cull, display, told[0]),
        table,
        _notes(cull),
        caution=said.CARE if answer.left else None,
    )


def _in_the_picture(cull: Cull, display: Display) -> str:
    answer = cull.answer
    if not answer.left:
        return said.headline(cull, display)
    many = count(len(answer.left), "thing")
    first = f"{many} to leave at home, {mass(answer.point.saved_g, display)}"
    by_item = {j.about.item: j for j in cull.judged}
    left = [by_item[item.item] for item in answer.left]
    if any(j.verdict != "leave" for j in left):
        return sentence(f"{first}: {said.price(cull, answer.point)}")
    highest = max(j.bound for j in left)
    each = "it was" if len(left) == 1 else "each was"
    return f"{first}: {each} probably used on fewer than {percent(highest)} of its occasions."


def _more(cull: Cull) -> list[str]:
    answer = cull.answer
    if not answer.left:
        return []
    found = []
    leave = {j.about.item for j in cull.judged if j.verdict == "leave"}
    beyond = said.names_of(cull, set(answer.point.items) - leave)
    if beyond:
        verb, of = ("is", "its verdict") if len(beyond) == 1 else ("are", "their verdicts")
        found.append(
            f"{named(beyond)} {verb} not on the list by {of}, but part of the cheapest way to "
            "save so much."
        )
    rest = said.names_of(cull, {i for i in leave if i in cull.loads_g} - set(answer.point.items))
    if rest:
        found.append(f"{named(rest)} could stay at home, too, but need not for this saving.")
    found.append(" ".join(said.how_sure(answer.left)).strip())
    return found


def _notes(cull: Cull) -> tuple[str, ...]:
    notes = [
        "A rate is pooled within its system: things with few occasions lean on others of their "
        "system. Weights and prices are those of a trip on which all of it would have come along. "
        "Bulk is not known."
    ]
    if cull.answer.left:
        notes.append(
            "Tried were 100 variations: rates and weather as the log leaves them open, and the "
            "cost of missing each thing halved, kept or doubled."
        )
    elsewhere = [
        j.about.name
        for j in cull.judged
        if j.verdict == "leave" and j.about.item not in cull.loads_g
    ]
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
            dots.append(
                Dot(
                    judged.about.name,
                    group,
                    grams,
                    rate.mean,
                    rate.low,
                    rate.high,
                    tables.record(judged),
                )
            )
    if len(dots) < 3:
        return None
    return Figure(
        "weight-against-use",
        f"{alt} Each dot is a thing: the higher, the heavier; the farther left, the less used.",
        charts.weight_against_use(dots, display),
        "What is carried as base weight and had an occasion to be used. Shaded: needed on fewer "
        "than one occasion in three, where what is only an annoyance to miss may stay at home; the "
        "higher up, the more it saves. Lines are 90 % intervals.",
    )


def next_cost(cull: Cull, display: Display) -> Section:
    """The frontier: what saving more would cost."""
    step = mass(said.next_step_g(display), display)
    heading, answer = f"What the next {step} would cost", cull.answer.point
    if not cull.frontier:
        return Section.empty(heading, "nothing that is weighed may be left")
    told = _next(cull, display)
    first = [p for p in cull.frontier if p.expected_regret <= 0.34]
    if first and first[-1].saved_g > answer.saved_g + 0.5:
        told.append(
            f"Up to {mass(first[-1].saved_g, display)} the price stays under a third of an "
            "annoyance per trip."
        )
    stop = max(_STOP_AT, 1.3 * answer.expected_regret)
    line = charts.Line("Any trip", cull.frontier, answer)
    return Section(
        heading,
        tuple(told),
        Figure(
            "frontier",
            f"{told[0]} A rising line of steps: the more is saved, the more is missed.",
            charts.frontiers([line], stop, display),
            "Each dot is the best choice for its weight, solved exactly. Regret counts a missed "
            "annoyance as 1, a spoilt night as 3, danger as 10. The diamond is the answer above; "
            "the table has the whole line.",
        ),
        tables.frontier(cull.frontier, cull, display),
        (
            "Where a step looks absurd, say in gear.csv what going without the thing would cost: "
            "going_without, from 1, an annoyance, to 10, danger. Without it the system's figure "
            "stands.",
        ),
        caution=said.CARE,
    )


def _next(cull: Cull, display: Display) -> list[str]:
    answer, step = cull.answer.point, said.next_step_g(display)
    point, nearest = said.beyond(cull, step), said.beyond(cull, 1.0)
    if nearest is None:
        return [f"{mass(cull.answer.most_g, display)} is all that could stay at home."]

    def raises(what: str, to: FrontierPoint) -> str:
        return (
            f"{what} would raise the expected regret from {number(answer.expected_regret, 2)} to "
            f"{number(to.expected_regret, 2)} per trip: {said.price(cull, to)}."
        )

    extra = mass(nearest.saved_g - answer.saved_g, display)
    if point is None:
        most = mass(cull.frontier[-1].saved_g - answer.saved_g, display)
        return [
            f"No more than {most} beyond the list could stay at home.",
            raises(f"A step of {extra}", nearest),
            f"That means {_change(cull, nearest)}.",
        ]
    told = [raises(f"The next {mass(step, display)}", point), f"That means {_change(cull, point)}."]
    if nearest.items != point.items:
        told.append(
            f"A smaller step of {extra}, {_change(cull, nearest)}, brings it to "
            f"{number(nearest.expected_regret, 2)}."
        )
    return told


def _change(cull: Cull, point: FrontierPoint) -> str:
    before = set(cull.answer.point.items)
    more = said.names_of(cull, set(point.items) - before)
    less = said.names_of(cull, before - set(point.items))
    return f"leaving {named(more)}" + (f" and taking {named(less)} after all" if less else "")


def by_kind(cull: Cull, display: Display, source: str) -> Section:
    """The frontier of each kind of trip, and what to add if it may be wet or cold.

    ``source`` says where the chance of a wet or cold trip comes from.
    """
    heading = "Dry, wet or cold"
    kinds = {k.kind: k for k in cull.by_kind}
    dry = kinds["dry_warm"]
    take = {kind: said.names_of(cull, (*kinds[kind].add, *kinds[kind].meant)) for kind in _WHEN}
    if not any(take.values()) and not any(_differs(k, dry) for k in cull.by_kind):
        return Section.empty(heading, "nothing that came along is meant for wet or cold only")
    told = [_dry(dry, display)]
    for kind, when in _WHEN.items():
        names = listed(take[kind])
        what = f"see that {names} come along" if names else "there is nothing to add"
        told.append(f"{when}, {what}.")
    if any(take.values()):
        told.append("On other trips pack them as usual.")
    answer = set(cull.answer.point.items)
    rows = [
        {
            "kind": KIND_WORDS[k.kind],
            "saved_g": k.answer.saved_g,
            "misses": k.answer.expected_misses,
            "more": listed(said.names_of(cull, set(k.answer.items) - answer)),
            "less": listed(said.names_of(cull, answer - set(k.answer.items))),
        }
        for k in cull.by_kind
    ]
    if not any(_differs(k, dry) for k in cull.by_kind):
        return Section(heading, tuple(told), notes=(source,), caution=WEATHER_CARE)
    lines = [charts.Line(KIND_WORDS[k.kind], k.frontier) for k in cull.by_kind]
    return Section(
        heading,
        tuple(told),
        Figure(
            "by-kind",
            f"{told[0]} Three lines of steps, one a kind of trip.",
            charts.frontiers(lines, _STOP_AT, display),
            "The least expected regret at each saving, by kind of trip. Conditions other than wet "
            "and cold come as often as in your log.",
        ),
        tables.by_kind(rows, display),
        (source,),
        caution=WEATHER_CARE,
    )


def _dry(dry: KindOfTrip, display: Display) -> str:
    if not dry.answer.items:
        return "On a dry and warm trip nothing more could stay at home."
    whose = "at no greater risk of missing something than above"
    if not dry.answer.expected_regret > 0:
        whose = "without missing any of it there: it is meant for other weather"
    return f"On a dry and warm trip {mass(dry.answer.saved_g, display)} could stay at home {whose}."


def _differs(one: KindOfTrip, other: KindOfTrip) -> bool:
    return _shape(one.frontier) != _shape(other.frontier)


def _shape(points: Sequence[FrontierPoint]) -> list[tuple[float, float]]:
    return [(p.saved_g, round(p.expected_regret, 5)) for p in points]
