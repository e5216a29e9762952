"""The table usage: how often each thing is used when it can be, and its verdict."""

from datetime import date
from typing import TYPE_CHECKING, Any

from ..catalogue.entry import Entry, Rows, fields_of, interval_columns
from ..catalogue.options import SCOPE
from ..display.cautions import LEAVING_CARE

if TYPE_CHECKING:
    from ..store.rows import Store
    from .verdicts import Judged


def usage_rows(store: "Store", today: date, coming: str = "", **scope: Any) -> Rows:
    """A row an item by name. Gear given up by ``today`` is past judging.

    ``coming`` names trips to come, of whose cold nights normals tell.
    """
    from ..store.scope import Scope
    from ..store.settings import settings_of
    from .cold_odds import trips_ahead
    from .items import usage
    from .leaving import circumstances
    from .verdicts import judge

    ahead = trips_ahead(store, coming)
    counted = usage(store, Scope(**scope), ahead.cold if ahead is not None else None)
    around = circumstances(store, counted, ahead)
    return [_row(judged) for judged in judge(counted, settings_of(store).regret, today, around)]


def _row(judged: "Judged") -> dict[str, Any]:
    from ..display.words import SPACE
    from .held_words import hold_sentence
    from .verdict_words import verdict_reason, verdict_reversal

    about, counts, used = judged.about, judged.counts, judged.usage
    rate = used.rate if used.rate.n else None
    return {
        **fields_of(about, "item", "name", "system", "weight_g", "insurance", "essential"),
        **fields_of(counts, "chances", "not_known", "no_chance", "used_besides"),
        "trips_carried": counts.carried,
        "trips_used": counts.chances_used,
        "times_used": counts.times,
        "missed": counts.wished,
        **interval_columns("use_rate", rate),
        **fields_of(rate, "bare_bound"),
        "p_used_next": used.need() if rate else None,
        **fields_of(used, "hauled_kg_km", "kg_km_per_use", "last_used_on"),
        **fields_of(judged, "cost", "verdict"),
        "reason": verdict_reason(judged).replace(SPACE, " "),
        "held_back": None
        if judged.held is None
        else hold_sentence(used, judged.held).replace(SPACE, " "),
        "reversal": verdict_reversal(judged).replace(SPACE, " ") or None,
    }


ENTRIES = (
    Entry(
        "usage",
        room="usage",
        grain="item that came along on the trips looked back on, or was missed on one of them",
        sorted_by=1,
        rows=usage_rows,
        options=(*SCOPE, "coming", "today"),
        caution=LEAVING_CARE,
    ),
)
