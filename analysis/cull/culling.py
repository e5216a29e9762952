"""What to leave at home: the set of least expected regret, its frontier, and how sure it is."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from ..stats.zero_one import Choice, LeftSet, Programme
from ..store.rows import Store
from ..store.scope import Scope
from ..usage.cold_odds import TripsAhead
from ..usage.conditions import TRIP_KINDS
from ..usage.costs import limit_of
from ..usage.items import Usage, usage
from ..usage.keep_rules import NOTHING_KNOWN, Circumstances
from ..usage.leaving import circumstances
from ..usage.verdicts import judge
from .problem import CullProblem, base_loads, no_own_work, pose, stand_in_credits, usual_base
from .results import Answer, BaseWeight, Cull, KindOfTrip, LeftItem, Wish

if TYPE_CHECKING:
    import numpy as np

DRAWS = 100
_STEPS_MG = tuple(g * 1000 for g in (10, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000))
_MOST_POINTS = 40


@dataclass(frozen=True)
class CullQuestion:
    """A cull as asked for: the problem, how many mg are to be saved, what bears on it."""

    problem: CullProblem
    wish: Wish
    base: BaseWeight
    wanted_mg: int
    around: Circumstances = NOTHING_KNOWN


def ask_cull(
    store: Store,
    scope: Scope,
    wish: Wish,
    *,
    regret: Mapping[str, float],
    today: date,
    ahead: TripsAhead | None = None,
) -> CullQuestion:
    """Put the question, on the evidence of a scope.

    ``regret``: the owner's costs by system. ``today``: what is given up by then is no question.
    ``ahead``: the trips to come, where they are named; what they may ask beyond the trips looked
    back on holds things back, and normals of their places tell of cold. Raises QuestionError where
    the scope has no trip.
    """
    used = usage(store, scope, ahead.cold if ahead is not None else None)
    around = circumstances(store, used, ahead)
    return ask_on(store, used, around, wish, regret=regret, today=today)


def ask_on(
    store: Store,
    used: Usage,
    around: Circumstances,
    wish: Wish,
    *,
    regret: Mapping[str, float],
    today: date,
) -> CullQuestion:
    """Put the question on a usage and what bears on leaving beside it, as `ask_cull` does."""
    judged = judge(used, regret, today, around)
    loads, credits = base_loads(store, used), stand_in_credits(store, used)
    idle = no_own_work(store, used)
    problem = pose(used, judged, loads, credits, wish.undecided, around, idle)
    base = usual_base(store, used)
    return CullQuestion(problem, wish, base, _wanted_mg(wish, base, problem), around)


def cull(question: CullQuestion, rng: "np.random.Generator") -> Cull:
    """Everything there is to say to the question."""
    problem = question.problem
    best, line = answer(question, rng), Frontiers()
    return Cull(
        usage=problem.usage,
        judged=problem.judged,
        wish=question.wish,
        base=question.base,
        answer=best,
        frontier=line.of(problem.programme()),
        by_kind=kinds_of_trip(problem, best.point.regret, line),
        loads_g={i: mg / 1000 for i, mg in problem.loads.items() if mg is not None},
        unweighed=problem.unweighed,
        around=question.around,
    )


def answer(question: CullQuestion, rng: "np.random.Generator") -> Answer:
    """The set to leave, and how often each thing is in it over draws of all that is uncertain.

    Without a wish for so much weight it is what the verdicts say may be left, else the cheapest set
    that saves so much.
    """
    problem, programme = question.problem, question.problem.programme()
    most = programme.most()
    saved_mg = min(question.wanted_mg, most.saved_mg)
    best = programme.least(saved_mg) if question.wish.grams else left_by_verdict(problem, programme)
    often = inclusion(problem, programme, best.saved_mg, rng)
    return Answer(
        wanted_g=question.wanted_mg / 1000,
        most_g=most.saved_g,
        left=_left(problem, programme, best.items, often),
        point=best,
    )


def left_by_verdict(problem: CullProblem, programme: Programme) -> LeftSet:
    """What the verdicts let stay at home, with what has no work without it."""
    leave = [i for i in problem.saved_mg if problem.by_item[i].verdict == "leave"]
    whole = programme.with_idle(leave)
    return programme.value(whole if programme.allowed(whole) else leave)


def frontier(programme: Programme) -> tuple[LeftSet, ...]:
    """The least regret at ever more weight saved, up to all that may be left.

    Every point is an optimum; they are at least a step apart, of a size that keeps them to some 40.
    """
    most_mg = programme.most().saved_mg
    step_mg = next((s for s in _STEPS_MG if most_mg <= s * _MOST_POINTS), most_mg // _MOST_POINTS)
    sets: list[LeftSet] = []
    ask_mg = 1
    while ask_mg <= most_mg:
        sets.append(programme.least(ask_mg))
        saved = sets[-1].saved_mg
        ask_mg = (saved // step_mg + 1) * step_mg
        if saved < most_mg:
            ask_mg = min(ask_mg, most_mg)
    return tuple(sets)


class Frontiers:
    """The frontiers of one problem's programmes: of equal ones, which take as long, worked once."""

    def __init__(self) -> None:
        self._known: dict[tuple[Choice, ...], tuple[LeftSet, ...]] = {}

    def of(self, programme: Programme) -> tuple[LeftSet, ...]:
        """The frontier of a programme; its rules are those of the problem."""
        if programme.choices not in self._known:
            self._known[programme.choices] = frontier(programme)
        return self._known[programme.choices]


def kinds_of_trip(problem: CullProblem, regret: float, line: Frontiers) -> tuple[KindOfTrip, ...]:
    """The frontier of each kind of trip, what may be left on it, and what to take for it.

    ``line``: knows the frontiers that were worked already.
    """
    kinds: list[KindOfTrip] = []
    for kind in TRIP_KINDS:
        programme = problem.programme(kind, but_for_it=True)
        best = programme.most(regret)
        dry = kinds[0].answer.items if kinds else best.items
        judged = [(i, problem.by_item[i]) for i in sorted(dry) if kinds]
        needed = tuple(
            i for i, j in judged if problem.usage.need(j.usage, kind) >= limit_of(j.cost)
        )
        along = [(i, j) for i, j in sorted(problem.by_item.items()) if i not in dry]
        meant = tuple(i for i, j in along if kind in j.about.meaning.words)
        kinds.append(KindOfTrip(kind, line.of(programme), best, needed, meant))
    return tuple(kinds)


def inclusion(
    problem: CullProblem, programme: Programme, saved_mg: int, rng: "np.random.Generator"
) -> dict[str, float]:
    """How often each option is in the answer when all that is uncertain is drawn anew."""
    counts = dict.fromkeys((o.item for o in programme.choices), 0)
    if saved_mg <= 0:
        return dict.fromkeys(counts, 0.0)
    for regrets in problem.draws(rng, DRAWS):
        for item in programme.solve(saved_mg, regrets, heaviest=False) or ():
            counts[item] += 1
    return {item: n / DRAWS for item, n in counts.items()}


def _wanted_mg(wish: Wish, base: BaseWeight, problem: CullProblem) -> int:
    if wish.save_g is not None:
        return round(wish.save_g * 1000)
    if wish.target_g is not None:
        return max(0, round(((base.grams or 0.0) - wish.target_g) * 1000))
    return sum(mg for i, mg in problem.saved_mg.items() if problem.by_item[i].verdict == "leave")


def _left(
    problem: CullProblem, programme: Programme, items: frozenset[str], often: Mapping[str, float]
) -> tuple[LeftItem, ...]:
    shares = programme.shares(items)
    return tuple(
        LeftItem(
            item=item,
            name=problem.by_item[item].about.name,
            weight_g=problem.saved_mg[item] / 1000,
            p_needed=problem.usage.need(problem.by_item[item].usage, None),
            cost=problem.by_item[item].cost,
            regret=shares[item],
            inclusion=often[item],
        )
        for item in sorted(items)
    )
