"""The tables comfort_gain and next_swap."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from ..catalogue.entry import Entry, Rows, fields_of, interval_columns
from ..display.cautions import SWAP_CARE

if TYPE_CHECKING:
    from ..store.rows import Store
    from .days import Bundle
    from .gain import AspectGains, Gain
    from .next_swap import Swap


def comfort_gain(store: "Store", **period: Any) -> Rows:
    """A row an aspect and bundle, sorted by both."""
    from ..store.scope import Scope
    from .gain import comfort_gains

    return gain_rows(comfort_gains(store, Scope(**period)))


def next_swap(store: "Store", **period: Any) -> Rows:
    """A row a change, the most instructive first."""
    from ..store.scope import Scope
    from .gain import comfort_gains
    from .next_swap import never_left, next_swaps

    return swap_rows(next_swaps(comfort_gains(store, Scope(**period)), never_left(store)))


def gain_rows(aspects: "Sequence[AspectGains]") -> Rows:
    """The gains as rows."""
    return sorted(_gain_rows(aspects), key=lambda row: (row["aspect"], row["bundle"]))


def swap_rows(swaps: "Sequence[Swap]") -> Rows:
    """The swaps as rows."""
    from ..display.words import SPACE
    from .words import swap_reason

    return [
        {
            **fields_of(swap, "rank", "action", "variance_reduction"),
            "item": swap.thing.item,
            "reason": swap_reason(swap).replace(SPACE, " "),
        }
        for swap in swaps
    ]


def _gain_rows(aspects: "Sequence[AspectGains]") -> Iterator[dict[str, Any]]:
    for aspect in aspects:
        yield from (_gain_row(gain) for gain in aspect.gains)
        if (always := aspect.days.always) is not None:
            yield {**_about(aspect.aspect, always), "verdict": "always_along"}
        for bundle in aspect.days.unused:
            yield {**_about(aspect.aspect, bundle), "verdict": "never_taken_out"}


def _gain_row(gain: "Gain") -> dict[str, Any]:
    return {
        **_about(gain.aspect, gain.bundle),
        **interval_columns("gain", gain.gain),
        **interval_columns("points_per_kg", gain.points_per_kg),
        **interval_columns("g_per_point", gain.g_per_point),
        **fields_of(gain, "p_helps", "verdict", "prior_share", "ease_share"),
    }


def _about(aspect: str, bundle: "Bundle") -> dict[str, Any]:
    return {
        "aspect": aspect,
        **fields_of(bundle, "bundle", "weight_g", "for_comfort"),
        "items": ";".join(bundle.names),
        "nights_with": bundle.days_with,
        "nights_without": bundle.days_without,
    }


_PERIOD = ("since", "until")
ENTRIES = (
    Entry(
        "comfort_gain",
        room="comfort",
        grain="aspect and bundle of items that always travelled together on its scored days",
        sorted_by=2,
        rows=comfort_gain,
        options=_PERIOD,
    ),
    Entry(
        "next_swap",
        room="comfort",
        grain="change on a coming mild trip that would teach much",
        sorted_by=1,
        rows=next_swap,
        options=_PERIOD,
        caution=SWAP_CARE,
    ),
)
