"""What broke, how often that is, how long things last, and what a night with them cost so far."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from ...tripdata.contract import SEVERITIES
from ..stats.exact_intervals import garwood
from ..stats.kaplan_meier import Survival, kaplan_meier
from ..store.rows import Store, ask
from .rates import FEWEST_KM, FailurePool, FailureRate

FEWEST_LIVES = 5
"""From so many things on a system's life is told."""
_KM = 1000


@dataclass(frozen=True, slots=True)
class Failures:
    """The record of one thing, or of one system (``item`` is missing).

    ``by_severity`` counts in the order of ``SEVERITIES``. Distances are those of trips that have
    one, and so are the failures per 1000 km, which are missing under ``FEWEST_KM`` and where there
    are too few nights to tell. ``retired``: the thing is given up.
    """

    item: str | None
    name: str | None
    system: str
    rate: FailureRate
    by_severity: tuple[int, int, int, int]
    distance_km: float | None
    per_1000_km: float | None
    km_low: float | None
    km_high: float | None
    retired: bool = False

    @property
    def worst(self) -> str | None:
        """The worst severity; missing where nothing failed."""
        pairs = zip(SEVERITIES, self.by_severity, strict=True)
        return max((s for s, n in pairs if n), key=SEVERITIES.index, default=None)


@dataclass(frozen=True, slots=True)
class ItemLife:
    """One thing's life: nights of the trips on which it was used, to the first failure for good.

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
    """Everything on failures: items and systems by name, lives, the pools behind the rates."""

    items: tuple[Failures, ...]
    systems: tuple[Failures, ...]
    lives: tuple[ItemLife, ...]
    system_lives: tuple[SystemLife, ...]
    pools: dict[str, FailurePool]

    def rate_of_new(self, system: str) -> FailureRate:
        """What a thing of that system that never came along is to be expected to do."""
        pool = self.pools.get(system) or FailurePool((), ())
        return pool.rates([0], [0])[0]


def failure_book(store: Store, today: date) -> FailureBook:
    """The record of the whole logbook; plans are no trips. Given up by ``today`` is retired."""
    rows = ask(store, "wear/failure_counts")
    systems = sorted({row["system"] for row in rows})
    pools: dict[str, FailurePool] = {}
    items: dict[str, Failures] = {}
    whole: list[Failures] = []
    for system in systems:
        mine = [row for row in rows if row["system"] == system]
        failed, nights = [r["failures"] for r in mine], [r["nights"] for r in mine]
        pools[system] = FailurePool(failed, nights)
        rates = pools[system].rates(failed, nights)
        for row, rate in zip(mine, rates, strict=True):
            retired = row["retired_on"] is not None and row["retired_on"] <= today
            items[row["item"]] = _failures(row["item"], row["name"], [row], rate, retired)
        whole.append(_failures(None, None, mine, pools[system].whole(failed, nights)))
    lives = tuple(_life(row, today) for row in ask(store, "wear/item_lives"))
    return FailureBook(
        tuple(items[row["item"]] for row in rows),
        tuple(whole),
        lives,
        tuple(_system_life(s, [x for x in lives if x.system == s]) for s in systems),
        pools,
    )


def _failures(
    item: str | None,
    name: str | None,
    rows: Sequence[dict[str, Any]],
    rate: FailureRate,
    retired: bool = False,
) -> Failures:
    known = [row["distance_km"] for row in rows if row["distance_km"] is not None]
    distance = sum(known) if known else None
    counted = sum(row["measured_failures"] for row in rows)
    far_enough = rate.enough and distance is not None and distance >= FEWEST_KM
    low, high = garwood(counted, (distance or 0) / _KM) if far_enough else (None, None)
    nuisance, impaired, lost_use, unsafe = (sum(row[s] for row in rows) for s in SEVERITIES)
    return Failures(
        item=item,
        name=name,
        system=rows[0]["system"],
        rate=rate,
        by_severity=(nuisance, impaired, lost_use, unsafe),
        distance_km=distance,
        per_1000_km=counted * _KM / distance if distance and far_enough else None,
        km_low=low,
        km_high=high,
        retired=retired,
    )


def _life(row: dict[str, Any], today: date) -> ItemLife:
    retired = row["retired_on"] is not None and row["retired_on"] <= today
    nights, price = row["nights_carried"], row["price"]
    return ItemLife(
        item=row["item"],
        name=row["name"],
        system=row["system"],
        life_nights=row["life_nights"],
        nights_carried=nights,
        ended="failed" if row["failed"] else "retired" if retired else "in_use",
        ended_on=row["failed_on"] or (row["retired_on"] if retired else None),
        price=price,
        currency=row["currency"],
        cost_per_night=price / nights if nights and price is not None else None,
    )


def _system_life(system: str, lives: Sequence[ItemLife]) -> SystemLife:
    """Things that were not used for a night were not watched."""
    watched = [x for x in lives if x.life_nights > 0]
    gone = [x.ended == "failed" for x in watched]
    enough = len(watched) >= FEWEST_LIVES
    survival = kaplan_meier([float(x.life_nights) for x in watched], gone) if enough else None
    return SystemLife(system, len(watched), sum(gone), survival)
