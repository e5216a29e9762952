"""The table buying_case."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from ..catalogue.entry import Entry, Rows, fields_of, interval_columns
from ..display.words import SPACE, Display

if TYPE_CHECKING:
    from ..store.rows import Store
    from .results import Case

_PLAIN = Display()


def case_rows(store: "Store", today: date) -> Rows:
    """A row a candidate, by name; the last twelve months end with ``today``."""
    from .cases import buying_case

    return buying_rows(buying_case(store, today))


def buying_rows(cases: "Sequence[Case]") -> Rows:
    """The rows of buying_case, in the order of the cases."""
    return [_row(case) for case in cases]


def _row(case: "Case") -> dict[str, Any]:
    from . import words as case_words
    from .cautions import caution

    own, base, replay, year = case.candidate, case.base, case.replay, case.year
    effort, other = case.effort, case.alternative
    return {
        **fields_of(own, "candidate", "name", "price", "currency"),
        "replaces": "; ".join(own.replaces) or None,
        "weight_saved_g": case.saved_g,
        "base_after_g": base and base.after_g,
        "price_per_g_saved": case.price_per_g,
        "price_per_night": case.price_per_night,
        "nights_inside_rating": replay and replay.inside_then,
        "nights_inside_rating_now": replay and replay.inside_now,
        "p_cold_year": year and year.then,
        "p_cold_year_now": year and year.now,
        **interval_columns("comfort_gain", case.comfort),
        "free_alternative_g": other.same_g,
        "verdict": _plain(case_words.heading(case, _PLAIN)),
        "reason_for": _plain(case_words.reason_for(case, _PLAIN)),
        "reason_against": _plain(case_words.reason_against(case, _PLAIN)),
        "what_would_change_it": _plain(case_words.what_would_change_it(case, _PLAIN)),
        "saves": _saves(case.saved_g),
        "base_now_g": base and base.now_g,
        **fields_of(base, "class_after"),
        "replayed_nights": replay and replay.nights,
        **fields_of(replay, "cold_votes"),
        "own_limit_c": replay and replay.own_limit_c.value,
        "cold_votes_avoided": replay and replay.avoided,
        "cold_votes_avoided_least": replay and replay.avoided_least,
        "cold_votes_avoided_most": replay and replay.avoided_most,
        "failures_now": case.failures.now,
        "failures_then": case.failures.then,
        "effort_saved_foot_kj": effort and effort.foot_kj,
        "effort_saved_bike_kj": effort and effort.bike_kj,
        "effort_saved_wh": effort and effort.ebike_wh,
        "free_alternative": "; ".join(other.names) or None,
        "free_alternative_missed": other.misses if other.same_g is not None else None,
        "let_go_g": other.let_go_g,
        "let_go_missed": other.let_go_misses,
        "wished_trips": case.wishes.trips,
        "wished_badly": case.wishes.badly,
        "caution": _plain(caution(case, _PLAIN) or "") or None,
        "missing_because": "; ".join(f"{k}: {v}" for k, v in case.missing.items()) or None,
    }


def _plain(text: str) -> str:
    return text.replace(SPACE, " ")


def _saves(saved_g: float | None) -> str | None:
    if saved_g is None:
        return None
    return "lighter" if saved_g > 0 else "heavier" if saved_g < 0 else "the same"


ENTRIES = (
    Entry(
        "buying_case",
        room="buying",
        grain="candidate",
        sorted_by=1,
        rows=case_rows,
        options=("today",),
    ),
)
