"""What broke, how often that is, how long things last, and what a night with them cost so far."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from ...tripdata.contract import SEVERITIES
from ..stats.estimate import Estimate
from ..stats.exact_intervals import garwood
from ..stats.kaplan_meier import Survival, kaplan_meier
from ..store.rows import Record, Store, ask
from .rates import FEWEST_KM, FailurePool, FailureRate

FEWEST_LIVES = 5
"""From so many things on a system's life is told."""
_KM = 1000


@dataclass(frozen=True, slots=True)
class Failures:
    """The record of one thing, or of one system (``item`` is missing).

    ``by_severity`` counts in the order of ``SEVERITIES``. Distances are those of trips that have
    one, and so are the failures per 1000 km, with their exact interval, which are missing under
    ``FEWEST_KM`` and where there are too few nights to tell. ``retired_on``: given up on that day.
    ``mended``: of the failures after which it could not be used, or was unsafe, those fixed since.
    """

    item: str | None
    name: str | None
    system: str
    rate: FailureRate
    by_severity: tuple[int, ...]
    distance_km: float | None
    per_1000_km: Estimate | None
    retired_on: date | None = None
    mended: int = 0

    @property
    def worst(self) -> str | None:
        """The worst severity; missing where nothing failed."""
        pairs = zip(SEVERITIES, self.by_severity, strict=True)
        return max((s for s, n in pairs if n), key=SEVERITIES.index, default=None)


@dataclass(frozen=True, slots=True)
class ItemLife:
    """One thing's life: nights of the trips on which it was used, to the first failure for good.

    What was fixed since is no such failure.

    ``ended``: failed (lost use or unsafe), retired without that, or in_use. ``cost_per_night``: its
    price over the nights it came along, in ``currency``; missing without either.
    """

    item: str
    name: str
    system: str
    life_nights: int
    nights_carried: int
    ended: Literal["failed", "retired", "in_use"]
    ended_on: date | None
    price: float | None
    currency: str | None
    cost_per_night: float | None


@dataclass(frozen=True, slots=True)
class SystemLife:
    """How long the things of a system last; ``survival`` is missing under five things."""

    system: str
    items: int
    failed: int
    survival: Survival | None


@dataclass(frozen=True, slots=True)
class FailureBook:
    """Everything on failures: items and systems by name, lives, the pools behind the rates.

    ``in_use``: the items that are not given up by the day of which the book is.
    """

    items: tuple[Failures, ...]
    systems: tuple[Failures, ...]
    pools: Mapping[str, FailurePool]
    in_use: tuple[Failures, ...]
    lives: tuple[ItemLife, ...]
    system_lives: tuple[SystemLife, ...]

    def rate_of_new(self, system: str) -> FailureRate:
        """What a thing of that system that never came along is to be expected to do."""
        pool = self.pools.get(system) or FailurePool((), ())
        return pool.rates([0], [0])[0]


def failure_book(store: Store, today: date) -> FailureBook:
    """The record of the whole logbook; plans are no trips. Given up by ``today`` is retired."""
    items, systems, pools = failure_records(store)
    lives = tuple(_life(row, today) for row in ask(store, "wear/item_lives"))
    of_system = [_system_life(s, [x for x in lives if x.system == s]) for s in pools]
    in_use = tuple(f for f in items if f.retired_on is None or f.retired_on > today)
    return FailureBook(items, systems, pools, in_use, lives, tuple(of_system))


def failure_records(
    store: Store,
) -> tuple[tuple[Failures, ...], tuple[Failures, ...], dict[str, FailurePool]]:
    """The record of every item and of every system, by name, and the systems' pools."""
    rows = ask(store, "wear/failure_counts")
    pools: dict[str, FailurePool] = {}
    items: dict[str, Failures] = {}
    whole: list[Failures] = []
    for system in sorted({row["system"] for row in rows}):
        mine = [row for row in rows if row["system"] == system]
        failed, nights = [r["failures"] for r in mine], [r["nights"] for r in mine]
        pools[system] = FailurePool(failed, nights)
        for row, rate in zip(mine, pools[system].rates(failed, nights), strict=True):
            items[row["item"]] = _failures([row], rate, row)
        whole.append(_failures(mine, pools[system].whole(failed, nights)))
    return tuple(items[row["item"]] for row in rows), tuple(whole), pools


def _failures(rows: Sequence[Record], rate: FailureRate, thing: Record | None = None) -> Failures:
    about = thing or dict.fromkeys(("item", "name", "retired_on"))
    known = [row["distance_km"] for row in rows if row["distance_km"] is not None]
    distance = sum(known) if known else None
    counted = sum(row["measured_failures"] for row in rows)
    far_enough = rate.enough and distance is not None and distance >= FEWEST_KM
    return Failures(
        about["item"],
        about["name"],
        rows[0]["system"],
        rate,
        by_severity=tuple(sum(row[severity] for row in rows) for severity in SEVERITIES),
        distance_km=distance,
        per_1000_km=garwood(counted, distance or 0.0, per=_KM) if far_enough else None,
        retired_on=about["retired_on"],
        mended=sum(row["mended"] for row in rows),
    )


def _life(row: Record, today: date) -> ItemLife:
    facts, nights, price = dict(row), row["nights_carried"], row["price"]
    failed, failed_on = facts.pop("failed"), facts.pop("failed_on")
    retired_on = facts.pop("retired_on")
    retired = retired_on is not None and retired_on <= today
    return ItemLife(
        **facts,
        ended="failed" if failed else "retired" if retired else "in_use",
        ended_on=failed_on or (retired_on if retired else None),
        cost_per_night=price / nights if nights and price is not None else None,
    )


def _system_life(system: str, lives: Sequence[ItemLife]) -> SystemLife:
    """Things that were not used for a night were not watched."""
    watched = [x for x in lives if x.life_nights > 0]
    gone = [x.ended == "failed" for x in watched]
    enough = len(watched) >= FEWEST_LIVES
    survival = kaplan_meier([float(x.life_nights) for x in watched], gone) if enough else None
    return SystemLife(system, len(watched), sum(gone), survival)
