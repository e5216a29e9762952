"""The tables comfort_gain, next_swap and cold_limits: their rows as the glossary has them."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import duckdb

from ..catalogue.frames import typed_frame
from ..catalogue.terms import Output
from . import glossary

if TYPE_CHECKING:
    import pandas as pd

    from ..cold.limit import ColdLimits
    from ..stats.estimate import Estimate
    from .days import Bundle
    from .gain import AspectGains, Gain
    from .next_swap import Swap

Rows = list[dict[str, Any]]


def comfort_gain(store: duckdb.DuckDBPyConnection) -> Rows:
    """A row an aspect and bundle, sorted by both; columns of ``comfort_glossary.COMFORT_GAIN``."""
    from .gain import comfort_gains

    return gain_rows(comfort_gains(store))


def next_swap(store: duckdb.DuckDBPyConnection) -> Rows:
    """A row a change, the most instructive first; columns of ``comfort_glossary.NEXT_SWAP``."""
    from .gain import comfort_gains
    from .next_swap import held, next_swaps

    return swap_rows(next_swaps(comfort_gains(store), held(store)))


def cold_limits(store: duckdb.DuckDBPyConnection) -> Rows:
    """A row a sleep system, sorted by its names; columns of ``comfort_glossary.COLD_LIMITS``."""
    from ..cold.limit import cold_limits as limits

    return limit_rows(limits(store))


@dataclass(frozen=True, slots=True)
class ComfortTable:
    """One of the tables: what it holds, and how its rows are worked out."""

    output: Output
    rows: Callable[[duckdb.DuckDBPyConnection], Rows]

    def frame(self, store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
        """The rows as a data frame of the types that `frames` tells of."""
        return typed_frame(self.rows(store), self.output.terms)

    def relation(self, store: duckdb.DuckDBPyConnection) -> duckdb.DuckDBPyRelation:
        """The rows in order as a relation, for writers that need no data frame."""
        import pyarrow as pa  # type: ignore[import-untyped]

        types = {
            "text": pa.string(),
            "whole": pa.int64(),
            "number": pa.float64(),
            "flag": pa.bool_(),
        }
        kept = self.rows(store)
        columns = {
            term.name: pa.array([row[term.name] for row in kept], types[term.kind])
            for term in self.output.terms
        }
        return store.from_arrow(pa.table(columns))


TABLES: Mapping[str, ComfortTable] = MappingProxyType(
    {
        "comfort_gain": ComfortTable(glossary.COMFORT_GAIN, comfort_gain),
        "next_swap": ComfortTable(glossary.NEXT_SWAP, next_swap),
        "cold_limits": ComfortTable(glossary.COLD_LIMITS, cold_limits),
    }
)
"""The tables by the name under which they are asked for."""


def gain_rows(aspects: "Sequence[AspectGains]") -> Rows:
    """The gains as rows."""
    return sorted(_gain_rows(aspects), key=lambda row: (row["aspect"], row["bundle"]))


def swap_rows(swaps: "Sequence[Swap]") -> Rows:
    """The swaps as rows."""
    from ..display.words import SPACE
    from .words import swap_reason

    return [
        {
            "rank": swap.rank,
            "item": swap.thing.item,
            "action": swap.action,
            "variance_reduction": swap.variance_reduction,
            "reason": swap_reason(swap).replace(SPACE, " "),
        }
        for swap in swaps
    ]


def limit_rows(found: "ColdLimits") -> Rows:
    """The cold limits as rows."""
    return [
        {
            "sleep_system": ";".join(limit.system.names),
            "rated_low_c": limit.system.rated_low_c,
            "own_limit_c": limit.own_limit_c,
            "own_limit_low_c": limit.own_limit_low_c,
            "own_limit_high_c": limit.own_limit_high_c,
            "nights": limit.nights,
            "cold_nights": limit.cold_nights,
            "rated_as": limit.system.rated_as,
            "prior_share": limit.prior_share,
        }
        for limit in found.limits
    ]


def _gain_rows(aspects: "Sequence[AspectGains]") -> Iterator[dict[str, Any]]:
    for aspect in aspects:
        yield from (_gain_row(gain) for gain in aspect.gains)
        if aspect.always is not None:
            blank = dict.fromkeys(glossary.COMFORT_GAIN.columns)
            about = _about(aspect.aspect, aspect.always)
            yield {**blank, **about, "verdict": "always_along"}
        for bundle in aspect.days.unused:
            blank = dict.fromkeys(glossary.COMFORT_GAIN.columns)
            yield {**blank, **_about(aspect.aspect, bundle), "verdict": "never_taken_out"}


def _gain_row(gain: "Gain") -> dict[str, Any]:
    return {
        **_about(gain.aspect, gain.bundle),
        **_interval("gain", gain.gain),
        **_interval("points_per_kg", gain.points_per_kg),
        **_interval("g_per_point", gain.g_per_point),
        "p_helps": gain.p_helps,
        "verdict": gain.verdict,
        "prior_share": gain.prior_share,
        "ease_share": gain.ease_share,
    }


def _about(aspect: str, bundle: "Bundle") -> dict[str, Any]:
    return {
        "aspect": aspect,
        "bundle": bundle.bundle,
        "items": ";".join(bundle.names),
        "weight_g": bundle.weight_g,
        "nights_with": bundle.days_with,
        "nights_without": bundle.days_without,
        "for_comfort": bundle.for_comfort,
    }


def _interval(name: str, found: "Estimate | None") -> Mapping[str, float | None]:
    if found is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    return {name: found.value, f"{name}_low": found.low, f"{name}_high": found.high}
