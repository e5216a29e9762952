"""The table usage: how often each thing is used when it can be, and its verdict."""

from datetime import date
from typing import TYPE_CHECKING, Any

from ..catalogue.entry import Entry, Rows, interval_columns
from ..catalogue.options import SCOPE
from ..display.cautions import LEAVING_CARE

if TYPE_CHECKING:
    import duckdb

    from .verdicts import Judged


def usage_rows(
    store: "duckdb.DuckDBPyConnection", today: date, coming: str = "", **scope: Any
) -> Rows:
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
        "item": about.item,
        "name": about.name,
        "system": about.system,
        "weight_g": about.weight_g,
        "insurance": about.insurance,
        "essential": about.essential,
        "trips_carried": counts.carried,
        "chances": counts.chances,
        "trips_used": counts.chances_used,
        "not_known": counts.not_known,
        **interval_columns("use_rate", rate),
        "bare_bound": rate and rate.bare_bound,
        "p_used_next": used.need() if rate else None,
        "cost": judged.cost,
        "hauled_kg_km": used.hauled_kg_km,
        "kg_km_per_use": used.kg_km_per_use,
        "last_used_on": used.last_used_on,
        "verdict": judged.verdict,
        "reason": verdict_reason(judged).replace(SPACE, " "),
        "held_back": None
        if judged.held is None
        else hold_sentence(used, judged.held).replace(SPACE, " "),
        "reversal": verdict_reversal(judged).replace(SPACE, " ") or None,
        "no_chance": counts.no_chance,
        "missed": counts.wished,
        "used_besides": counts.used_besides,
        "times_used": counts.times,
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
