"""A season looked back on as a page: what to leave at home, and how far the log can tell."""

from dataclasses import dataclass
from datetime import date

from ...display.sections import Opening, Section
from ...display.words import Display
from ...store.rows import Store, ask
from ...store.scope import Scope
from ...usage.cold_odds import Ahead, trips_ahead
from ...wear.words import UNFIT
from ..culling import ask_cull, cull
from ..outputs import SEED, regret_of
from ..results import Cull, Wish
from . import sections as answers
from . import shelves
from . import trips_to_come as ahead
from . import words as said


@dataclass(frozen=True)
class CullPage:
    """The answer to the question, and how it is told.

    ``set_aside``: records that are missing. ``ahead``: the trips to come, where they were named.
    ``broken``: names of what failed badly and is not mended.
    """

    data: Cull
    display: Display
    today: date
    set_aside: int
    ahead: Ahead | None = None
    broken: tuple[str, ...] = ()

    def opening(self) -> Opening:
        """What was looked back on, the answer in short, and what narrows it."""
        return Opening(
            said.TITLE,
            (*said.lines(self.data, self.display), *ahead.lines(self.ahead)),
            (*said.notices(self.data, self.set_aside), *ahead.notices(self.ahead)),
            said.points(self.data, self.display),
        )

    def what_to_leave(self) -> Section:
        """The set to leave, in a picture of weight against use."""
        return answers.what_to_leave(self.data, self.display)

    def next_cost(self) -> Section:
        """What saving more would cost."""
        return answers.next_cost(self.data, self.display)

    def by_kind(self) -> Section:
        """The same by kind of trip: dry and warm, wet, cold."""
        return answers.by_kind(self.data, self.display, ahead.source(self.ahead))

    def never_used(self) -> Section:
        """What was carried and never used."""
        return shelves.never_used(self.data, self.display)

    def insurance(self) -> Section:
        """What is carried on purpose."""
        return shelves.insurance(self.data, self.display, self.today)

    def to_say(self) -> Section:
        """What waits for a word from its owner: what it is for."""
        return shelves.to_say(self.data, self.display)

    def undecided(self) -> Section:
        """What it is too early to judge, and what would decide it."""
        return shelves.undecided(self.data, self.display)

    def everything(self) -> Section:
        """Every thing and its verdict."""
        return shelves.everything(self.data, self.display)

    def checklist(self) -> Section:
        """What to tick off when packing."""
        return shelves.checklist(self.data, self.display, self.today, self.broken)


def read(
    store: Store, scope: Scope, wish: Wish, *, today: date, display: Display, coming: str = ""
) -> CullPage:
    """Return the page of a scope of trips.

    ``today``: gear given up by then is past judging. ``coming`` names trips to come, of whose cold
    nights the normals of their places tell; else the log does. Raises QuestionError where the scope
    has no trip, or there is no trip of a name.
    """
    import numpy as np

    lies_ahead = trips_ahead(store, coming)
    asked = ask_cull(store, scope, wish, regret=regret_of(store), today=today, ahead=lies_ahead)
    found = cull(asked, np.random.default_rng(SEED))
    missing = ask(store, "cull/scope_set_aside", trips=found.usage.scoped.names)
    failed = ask(store, "store/to_mend", today=today)
    badly = {row["item"]: row["name"] for row in failed if row["severity"] in UNFIT}
    return CullPage(found, display, today, missing[0]["records"], lies_ahead, tuple(badly.values()))
