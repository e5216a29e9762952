"""The tables comfort_gain, next_swap and cold_limits as data frames."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import duckdb
from tarebook.analysis import comfort_glossary as glossary
from tarebook.analysis.frames import typed_frame

if TYPE_CHECKING:
    import pandas as pd
    from tarebook.analysis.cold_limit import ColdLimits
    from tarebook.analysis.comfort_days import Bundle
    from tarebook.analysis.comfort_gain import AspectGains, Gain, Interval
    from tarebook.analysis.next_swap import Swap


def comfort_gain(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row an aspect and bundle, sorted by both; columns of ``comfort_glossary.COMFORT_GAIN``."""
    from tarebook.analysis.comfort_gain import comfort_gains

    return gain_frame(comfort_gains(store))


def next_swap(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a change, the most instructive first; columns of ``comfort_glossary.NEXT_SWAP``."""
    from tarebook.analysis.comfort_gain import comfort_gains
    from tarebook.analysis.next_swap import next_swaps

    return swap_frame(next_swaps(comfort_gains(store)))


def cold_limits(store: duckdb.DuckDBPyConnection) -> "pd.DataFrame":
    """A row a sleep system, sorted by its names; columns of ``comfort_glossary.COLD_LIMITS``."""
    from tarebook.analysis.cold_limit import cold_limits as limits

    return limit_frame(limits(store))


def gain_frame(aspects: "Sequence[AspectGains]") -> "pd.DataFrame":
    """The gains as a frame."""
    rows = sorted(_gain_rows(aspects), key=lambda row: (row["aspect"], row["bundle"]))
    return typed_frame(rows, glossary.COMFORT_GAIN.terms)


def swap_frame(swaps: "Sequence[Swap]") -> "pd.DataFrame":
    """The swaps as a frame."""
    from tarebook.analysis.comfort_words import swap_reason

    rows = [
        {
            "rank": swap.rank,
            "item": swap.thing.item,
            "action": swap.action,
            "variance_reduction": swap.variance_reduction,
            "reason": swap_reason(swap),
        }
        for swap in swaps
    ]
    return typed_frame(rows, glossary.NEXT_SWAP.terms)


def limit_frame(found: "ColdLimits") -> "pd.DataFrame":
    """The cold limits as a frame."""
    rows = [
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
    return typed_frame(rows, glossary.COLD_LIMITS.terms)


def _gain_rows(aspects: "Sequence[AspectGains]") -> Iterator[dict[str, Any]]:
    for aspect in aspects:
        yield from (_gain_row(gain) for gain in aspect.gains)
        if aspect.always is not None:
            blank = dict.fromkeys(glossary.COMFORT_GAIN.columns)
            about = _about(aspect.aspect, aspect.always)
            yield {**blank, **about, "verdict": "always_along"}


def _gain_row(gain: "Gain") -> dict[str, Any]:
    return {
        **_about(gain.aspect, gain.bundle),
        **_interval("gain", gain.gain),
        **_interval("points_per_kg", gain.points_per_kg),
        **_interval("g_per_point", gain.g_per_point),
        "p_helps": gain.p_helps,
        "verdict": gain.verdict,
        "prior_share": gain.prior_share,
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


def _interval(name: str, found: "Interval | None") -> Mapping[str, float | None]:
    if found is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    return {name: found.value, f"{name}_low": found.low, f"{name}_high": found.high}
