"""The tables that are reckoned rather than looked up, by the name under which they are asked for.

As `marts` has those that a view of the store holds. Each takes a scope of trips and, for what is to
be left at home, how much is to be saved.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import duckdb

from ...tripdata.errors import QuestionError
from ..catalogue.frames import relation_of, typed_frame
from ..catalogue.terms import Output
from ..display.words import SPACE
from ..store.scope import Scope
from ..usage.cold_odds import trips_ahead
from ..usage.held_words import hold_sentence
from ..usage.items import usage
from ..usage.leaving import circumstances
from ..usage.verdict_words import verdict_reason, verdict_reversal
from ..usage.verdicts import Judged, judge
from . import glossary as cull_glossary
from .culling import CullQuestion, answer, ask_cull, frontier
from .results import Wish

if TYPE_CHECKING:
    import pandas as pd

SEED = 5


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of a table. ``today``: gear given up by then is past judging.

    ``ahead`` names trips to come, of whose cold nights normals tell; see `cold_ahead`.
    """

    today: date
    scope: Scope = field(default_factory=Scope)
    wish: Wish = field(default_factory=Wish)
    ahead: str = ""


def regret_of(connection: duckdb.DuckDBPyConnection) -> dict[str, float]:
    """The owner's cost of missing something, by system, as tarebook.toml has it."""
    settings = dict(connection.table("settings").fetchall())
    return {
        key.removeprefix("regret."): float(value)
        for key, value in settings.items()
        if key.startswith("regret.")
    }


def usage_rows(connection: duckdb.DuckDBPyConnection, asked: Question) -> list[dict[str, Any]]:
    """The rows of ``cull_glossary.USAGE``."""
    ahead = trips_ahead(connection, asked.ahead)
    counted = usage(connection, asked.scope, ahead.cold if ahead is not None else None)
    around = circumstances(connection, counted, ahead)
    return [usage_row(j) for j in judge(counted, regret_of(connection), asked.today, around)]


def usage_row(judged: Judged) -> dict[str, Any]:
    """One verdict as a row of ``cull_glossary.USAGE``."""
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
        "use_rate": rate and rate.mean,
        "use_rate_low": rate and rate.low,
        "use_rate_high": rate and rate.high,
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


def cull_rows(connection: duckdb.DuckDBPyConnection, asked: Question) -> list[dict[str, Any]]:
    """The rows of ``cull_glossary.CULL``. Raises QuestionError where so much cannot be saved."""
    import numpy as np

    found = answer(_ask(connection, asked), np.random.default_rng(SEED))
    if not found.reached:
        raise QuestionError(
            f"save_g, target_g: expected at most {found.most_g:g} g to save, all that may be left, "
            f"got {found.wanted_g:g} g"
        )
    names = cull_glossary.CULL.columns
    return [{name: getattr(item, name) for name in names} for item in found.left]


def frontier_rows(connection: duckdb.DuckDBPyConnection, asked: Question) -> list[dict[str, Any]]:
    """The rows of ``cull_glossary.CULL_FRONTIER``."""
    points = frontier(_ask(connection, asked).problem.programme())
    return [
        {
            "saved_g": p.saved_g,
            "expected_misses": p.expected_misses,
            "expected_regret": p.expected_regret,
            "items": "; ".join(p.items),
        }
        for p in points
    ]


def _ask(connection: duckdb.DuckDBPyConnection, asked: Question) -> CullQuestion:
    return ask_cull(
        connection,
        asked.scope,
        asked.wish,
        regret=regret_of(connection),
        today=asked.today,
        ahead=trips_ahead(connection, asked.ahead),
    )


Rows = Callable[[duckdb.DuckDBPyConnection, Question], list[dict[str, Any]]]


@dataclass(frozen=True, slots=True)
class ReckonedTable:
    """One table of the registry: what it holds, and how its rows are reckoned."""

    output: Output
    rows: Rows
    takes_wish: bool = False

    def frame(self, connection: duckdb.DuckDBPyConnection, asked: Question) -> "pd.DataFrame":
        """The rows as a data frame of the types that `frames` tells of."""
        return typed_frame(self.rows(connection, asked), self.output.terms)

    def relation(
        self, connection: duckdb.DuckDBPyConnection, asked: Question
    ) -> duckdb.DuckDBPyRelation:
        """The rows in order as a relation, for writers that need no data frame."""
        return relation_of(connection, self.rows(connection, asked), self.output)


TABLES: Mapping[str, ReckonedTable] = MappingProxyType(
    {
        "usage": ReckonedTable(cull_glossary.USAGE, usage_rows),
        "cull": ReckonedTable(cull_glossary.CULL, cull_rows, takes_wish=True),
        "cull_frontier": ReckonedTable(cull_glossary.CULL_FRONTIER, frontier_rows, takes_wish=True),
    }
)
