"""Is it worth its price: the case for each candidate, from the record of the whole logbook."""

import re
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from ...tripdata.errors import QuestionError
from ...tripdata.names import folded, guess, shown, slug, squeezed
from ..effort.carrying_cost import wh_of
from ..stats.estimate import Estimate
from ..stats.zero_one import Programme
from ..store.rows import Store, ask
from ..store.weight_class import weight_class
from ..usage.missing_odds import missing_odds
from ..usage.verdicts import only_beside
from .evidence import Evidence
from .losses import losses
from .nights import BeddingSwap
from .replay import replay
from .results import (
    Alternative,
    BaseAfter,
    Candidate,
    Case,
    ColdReplay,
    ColdYear,
    EffortSaved,
    FailuresExpected,
    Replaced,
    Wishes,
)
from .sleep_score import comfort_expected
from .year import cold_year

_OF_GEAR = (
    *("item", "name", "system", "weight_g", "rated_low_c", "r_value"),
    *("capacity_wh", "currency"),
)


def buying_case(store: Store, today: date, candidate: str = "") -> tuple[Case, ...]:
    """The case of every candidate by name, or of the one that is named.

    ``today``: the day the last twelve months end with. Raises QuestionError where there is no such
    candidate.
    """
    evidence = Evidence(store, today)
    return tuple(case(evidence, c) for c in chosen(candidates(store), candidate))


def candidates(store: Store) -> tuple[Candidate, ...]:
    """The rows of candidates.csv, by candidate."""
    known = {row["item"] for row in ask(store, "store/gear_today")}
    return tuple(
        Candidate(**{**row, "replaces": tuple(sorted(known.intersection(row["replaces"])))})
        for row in ask(store, "buying/candidate_facts")
    )


def chosen(every: Sequence[Candidate], name: str) -> tuple[Candidate, ...]:
    """All, or the one of that name. Raises QuestionError."""
    if not name.strip():
        return tuple(every)
    named = tuple(c for c in every if squeezed(c.candidate) == squeezed(name))
    if named:
        return named
    names = [c.candidate for c in every]
    advice = guess(name, names, f"there are {', '.join(names) or 'none'}")
    raise QuestionError(f"candidate: expected one of candidates.csv, got {shown(name)}; {advice}")


def case(evidence: Evidence, candidate: Candidate) -> Case:
    """The case of one candidate."""
    missing: dict[str, str] = {}
    replaced = tuple(_replaced(evidence, i) for i in candidate.replaces)
    saved = _saved(candidate, replaced, missing)
    again, year, comfort = _cold(evidence, candidate, missing)
    return Case(
        candidate=candidate,
        replaced=replaced,
        saved_g=saved,
        base=_base(evidence, candidate, missing),
        price_per_g=_price_per_g(candidate, saved, missing),
        price_per_night=_price_per_night(candidate, missing),
        replay=again,
        year=year,
        comfort=comfort,
        failures=_failures(evidence, candidate),
        effort=_effort(evidence, candidate, saved, missing),
        alternative=_alternative(evidence, candidate, saved),
        losses=losses(candidate, replaced, evidence.gear.values(), evidence.today),
        wishes=_wishes(candidate, evidence),
        missing=missing,
    )


def _replaced(evidence: Evidence, item: str) -> Replaced:
    row, book = evidence.gear[item], evidence.failures
    life = next((life for life in book.lives if life.item == item), None)
    return Replaced(
        **{field: row[field] for field in _OF_GEAR},
        cost_per_night=life.cost_per_night if life is not None else None,
        insurance=bool(row["insurance"]),
        rated_as=row["rated_as"] or "maker",
        failures=next((f for f in book.items if f.item == item), None),
        given_up=row["retired_on"] is not None and row["retired_on"] <= evidence.today,
    )


def _saved(
    candidate: Candidate, replaced: Sequence[Replaced], missing: dict[str, str]
) -> float | None:
    owned = [r for r in replaced if not r.given_up]
    unweighed = [r.name for r in owned if r.weight_g is None]
    if unweighed:
        missing["weight_saved_g"] = f"not weighed: {', '.join(unweighed)}"
        return None
    return round(sum(r.weight_g or 0.0 for r in owned) - candidate.weight_g, 3)


def _price_per_g(
    candidate: Candidate, saved: float | None, missing: dict[str, str]
) -> float | None:
    if candidate.price is None:
        missing["price_per_g_saved"] = "no price"
    elif saved is None:
        missing["price_per_g_saved"] = missing["weight_saved_g"]
    elif saved <= 0:
        missing["price_per_g_saved"] = "heavier" if saved < 0 else "nothing saved"
    else:
        return candidate.price / saved
    return None


def _price_per_night(candidate: Candidate, missing: dict[str, str]) -> float | None:
    if candidate.price is None:
        missing["price_per_night"] = "no price"
    elif not candidate.expected_nights:
        missing["price_per_night"] = "expected nights are not given"
    else:
        return candidate.price / candidate.expected_nights
    return None


def _would_come(evidence: Evidence, candidate: Candidate) -> dict[str, float]:
    """Trips on which it would come along, and what it would replace there as base, in g."""
    grams = {} if candidate.replaces else {row["trip"]: 0.0 for row in evidence.loads}
    for row in evidence.loads:
        if row["item"] in candidate.replaces and row["on_me"]:
            base = row["row_mg"] or 0 if row["carried_as"] == "base" else 0
            grams[row["trip"]] = grams.get(row["trip"], 0.0) + base / 1000
    return grams


def _base(evidence: Evidence, candidate: Candidate, missing: dict[str, str]) -> BaseAfter | None:
    along = _would_come(evidence, candidate)
    every = [t for t in evidence.trips if t["trip"] in along]
    recent = [t for t in every if evidence.recent(t["start_on"])]
    trips = recent or every
    adds = candidate.weight_g if candidate.carried_as == "base" else 0.0
    if not trips:
        missing["base_after_g"] = "no weighed trip on which it would have come along"
        return None
    now = statistics.median(t["base_g"] for t in trips)
    after = statistics.median(t["base_g"] - along[t["trip"]] + adds for t in trips)
    at_least = any(t["unweighed"] for t in trips)
    no_class = at_least or any(t["unmarked"] for t in trips)
    return BaseAfter(
        now_g=now,
        after_g=after,
        class_now=None if no_class else weight_class(now),
        class_after=None if no_class else weight_class(after),
        trips=len(trips),
        recent=bool(recent),
        at_least=at_least,
    )


def _cold(
    evidence: Evidence, candidate: Candidate, missing: dict[str, str]
) -> tuple[ColdReplay | None, ColdYear | None, Estimate | None]:
    if not candidate.rated_sleep_gear:
        for name in ("nights_inside_rating", "p_cold_year", "comfort_gain"):
            missing[name] = "only the rating of sleep gear bears on cold nights"
        return None, None, None
    swap = BeddingSwap(candidate, evidence.nights)
    again = replay(swap, evidence.limits, evidence.sleep_sets)
    recent = [n for n in evidence.nights if evidence.recent(n.start_on)]
    year = cold_year(swap, recent, evidence.limits, evidence.camps)
    comfort, why = None, "the log cannot tell warmth and sleep score apart"
    try:
        comfort = comfort_expected(swap, evidence.store)
    except QuestionError:
        why = "more nights are scored than can be judged at once"
    if again is None:
        missing["nights_inside_rating"] = "no night with a low on which it would have been there"
    if year is None:
        missing["p_cold_year"] = (
            "no trip of the last twelve months has climate normals and a rated sleep system"
        )
    if comfort is None:
        missing["comfort_gain"] = why
    return again, year, comfort


def _failures(evidence: Evidence, candidate: Candidate) -> FailuresExpected:
    book = evidence.failures
    nights = candidate.expected_nights or float(evidence.nights_a_year)
    own = [f.rate for f in book.items if f.item in candidate.replaces]
    now = sum(r.value for r in own) if own and all(r.enough for r in own) else None
    system = next((s.rate for s in book.systems if s.system == candidate.system), None)
    then = book.rate_of_new(candidate.system).value if system and system.enough else None
    return FailuresExpected(nights, *(None if r is None else r * nights / 100 for r in (now, then)))


def _effort(
    evidence: Evidence, candidate: Candidate, saved: float | None, missing: dict[str, str]
) -> EffortSaved | None:
    along = _would_come(evidence, candidate)
    recent = {t["trip"] for t in evidence.trips if evidence.recent(t["start_on"])}
    costs = [
        (t.trip, t.mode, wh_of(t.per_kg_kj) if t.mode == "ebike" else t.per_kg_kj)
        for t in evidence.effort.trips
        if t.trip in along and t.trip in recent and t.per_kg_kj is not None
    ]
    if saved is None or not costs:
        missing["effort_saved"] = (
            "not weighed"
            if saved is None
            else "no trip of the last twelve months on which it would have come along has a cost"
        )
        return None

    def spared(mode: str) -> float | None:
        mine = [cost.value for _, how, cost in costs if how == mode]
        return sum(mine) * saved / 1000 if mine else None

    trips = len({trip for trip, _, _ in costs})
    return EffortSaved(trips, spared("foot"), spared("bike"), spared("ebike"))


def _wishes(candidate: Candidate, evidence: Evidence) -> Wishes:
    """Notes of what was typed that, read as a short name, is its short name or its name.

    Of the others those of its system that share a word with it may mean it, or not.
    """
    names = {folded(slug(candidate.candidate)), folded(slug(candidate.name))}
    mine = [row for row in evidence.missed if folded(slug(row["what"])) in names]
    much = [row["how_much"] for row in mine]
    badly, quite, little = (much.count(how) for how in ("badly", "much", "little"))
    words = _words(candidate.name) | _words(candidate.candidate)
    alike = tuple(
        (row["what"], row["title"])
        for row in evidence.missed
        if row not in mine and row["system"] == candidate.system and words & _words(row["what"])
    )
    return Wishes(len(mine), len({row["trip"] for row in mine}), badly, quite, little, alike)


_SMALL_WORDS = frozenset(
    """
    the and for with without again case come some something more one two set pair new old our your
    big bigger large larger small smaller light lighter warm warmer better long longer short shorter
    wider kit spare
    """.split()  # noqa: SIM905 -- a list of so many words is read more easily as text
)
"""Words that two names may share without meaning like things."""


def _words(text: str) -> frozenset[str]:
    """The telling words of a name, whatever their case, plurals as one."""
    found = (word for word in re.split(r"[\W\d_]+", folded(text)) if len(word) > 2)
    one = (re.sub(r"(?<=[^s])s$|(?<=sh|ch|ss)es$|(?<=x)es$", "", word) for word in found)
    return frozenset(one) - _SMALL_WORDS


def _alternative(evidence: Evidence, candidate: Candidate, saved: float | None) -> Alternative:
    if evidence.cull is None:
        return Alternative(None, (), 0.0, 0.0, ())
    problem = evidence.cull.problem
    # Only what the verdicts leave at home, which they do of nothing that is held back.
    programme = Programme(
        [
            option
            for option in problem.programme().choices
            if problem.by_item[option.item].verdict == "leave"
            and option.item not in candidate.replaces
        ],
        problem.rules,
    )
    in_all = programme.value(option.item for option in programme.choices)

    def names(items: Iterable[str]) -> tuple[str, ...]:
        heavy = sorted(items, key=lambda i: (-problem.saved_mg[i], i))
        return tuple(problem.by_item[i].about.name for i in heavy)

    beside = {
        problem.by_item[item].about.name: other
        for item, other in only_beside(in_all.items, problem.by_item.values()).items()
    }
    left = [problem.by_item[item] for item in sorted(in_all.items)]
    odds = None
    if left:
        odds = replace(missing_odds(problem.usage, left), value=in_all.misses)
    everything = in_all.saved_g, names(in_all.items), in_all.misses, beside, odds
    if saved is None or saved <= 0:
        return Alternative(None, (), 0.0, *everything)
    wanted = min(round(saved * 1000), programme.most().saved_mg)
    best = programme.least(wanted)
    return Alternative(best.saved_g, names(best.items), best.misses, *everything)
