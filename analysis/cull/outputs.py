"""The tables of what to leave at home: the answer, and every weight saved at the least regret."""

from dataclasses import asdict
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any

from ...tripdata.errors import QuestionError
from ..catalogue.entry import Entry, Rows
from ..catalogue.options import SCOPE
from ..display.cautions import LEAVING_CARE

if TYPE_CHECKING:
    from ..store.rows import Store
    from .culling import CullQuestion

SEED = 5


def cull_rows(store: "Store", **options: Any) -> Rows:
    """A row an item to leave at home. Raises QuestionError where so much cannot be saved."""
    import numpy as np

    from .culling import answer

    least = answer(_ask(store, **options), np.random.default_rng(SEED))
    if not least.reached:
        most = f"at most {least.most_g:g} g to save, all that may be left at home"
        if "target_g" in options:
            raise QuestionError(
                f"target_g: expected {most}; {options['target_g']:g} g asks for {least.wanted_g:g}"
            )
        raise QuestionError(f"save_g: expected {most}, got {least.wanted_g:g} g")
    return [asdict(item) for item in least.left]


def frontier_rows(store: "Store", **options: Any) -> Rows:
    """A row a weight saved, the least first."""
    from .culling import frontier

    return [
        {
            "saved_g": point.saved_g,
            "expected_misses": point.misses,
            "expected_regret": point.regret,
            "items": "; ".join(sorted(point.items)),
        }
        for point in frontier(_ask(store, **options).problem.programme())
    ]


def _ask(store: "Store", today: date, coming: str = "", **options: Any) -> "CullQuestion":
    from ..store.scope import Scope
    from ..store.settings import settings_of
    from ..usage.cold_odds import trips_ahead
    from .culling import ask_cull
    from .results import Wish

    scope = {name: options.pop(name) for name in SCOPE if name in options}
    return ask_cull(
        store,
        Scope(**scope),
        Wish(**options),
        regret=settings_of(store).regret,
        today=today,
        ahead=trips_ahead(store, coming),
    )


_OPTIONS = (*SCOPE, "target_g", "save_g", "undecided", "coming", "today")
_entry = partial(Entry, room="cull", sorted_by=1, options=_OPTIONS, caution=LEAVING_CARE)
ENTRIES = (
    _entry("cull", grain="item to leave at home", rows=cull_rows),
    _entry(
        "cull_frontier", grain="weight saved with the least expected regret", rows=frontier_rows
    ),
)
