"""What stays on the list as of today: what may not be advised against, and what a verdict keeps."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from ...tripdata.errors import QuestionError
from ..store.remember import remembered
from ..store.rows import Store
from ..store.settings import settings_of
from .items import usage
from .leaving import circumstances, held_back
from .verdict_words import verdict_record
from .verdicts import judge

_NO_OCCASION = "Too early to say: it has had no occasion yet."
_EARLY = ("no_chance_yet", "too_few_trips")


@dataclass(frozen=True, slots=True)
class Standing:
    """How the things of gear.csv stand as of a day.

    ``stays``: by item, why it stays on the list: all but what its verdict would leave at home.
    ``early``: those of them of which nothing but too few trips speaks. ``given_up``: those of them
    that are not owned any more.
    """

    stays: Mapping[str, str] = field(default_factory=dict)
    early: frozenset[str] = frozenset()
    given_up: frozenset[str] = frozenset()


@remembered
def standing(store: Store, today: date) -> Standing:
    """What stays on the list as of ``today``, by all trips looked back on.

    What must not be advised against has the reason of `leaving.held_back`; what its verdict keeps
    or finds too early that of its verdict.
    """
    held = held_back(store, today)
    try:
        counted = usage(store)
    except QuestionError:
        return Standing(held)
    judged = judge(counted, settings_of(store).regret, today, circumstances(store, counted))
    kept = {
        j.about.item: _NO_OCCASION if j.why == "no_chance" else verdict_record(j)
        for j in judged
        if j.verdict != "leave"
    }
    early = {j.about.item for j in judged if j.verdict in _EARLY}
    given_up = frozenset(j.about.item for j in judged if j.why == "given_up")
    return Standing({**kept, **held}, frozenset(early - held.keys()), given_up)
