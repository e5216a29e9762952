"""How cold each night of a past trip was against one's own limit in the sleep gear of the night."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from ..store.rows import Record, Store, ask

if TYPE_CHECKING:
    from ..cold.limit import ColdLimits


@dataclass(frozen=True, slots=True)
class TripNight:
    """One night of a past trip: how cold, how slept, and what it stands against.

    ``normal_low_c`` is what is usual there, ``normal_low_sd_c`` how far such nights lie from it.
    ``rated_low_c`` is the rating that is lowest on the limit scale among the sleep gear that was
    there. ``limit_c`` is the own limit in the sleep gear of the night where that has judged nights
    (``limit_basis`` own), else its rating brought to the limit scale (rated); missing where nothing
    is rated, or of no rated night of the trip a low is known. ``rated_limit_c`` is that rating on
    the limit scale, whatever the basis. ``limit_nights`` judged nights are behind the limit, and an
    own one very likely (90 %) lies from ``limit_from_c`` to ``limit_to_c``; of a rating that is
    missing, since nobody knows it.
    ``too_cold_share``: how many of such nights are too cold, of 1, by the own limit; missing
    without one or without a low. ``failed`` names the sleep and shelter gear that had
    failed that night, by which it is set apart.
    """

    night: date
    low_c: float | None
    low_source: str | None = None
    normal_low_c: float | None = None
    normal_low_sd_c: float | None = None
    sleep_score: int | None = None
    warmth: int | None = None
    rated_low_c: float | None = None
    rated_as: str | None = None
    rated_name: str | None = None
    limit_c: float | None = None
    limit_basis: str | None = None
    limit_nights: int | None = None
    limit_from_c: float | None = None
    limit_to_c: float | None = None
    rated_limit_c: float | None = None
    too_cold_share: float | None = None
    failed: tuple[str, ...] = ()

    @property
    def margin_c(self) -> float | None:
        """Low less limit, in kelvins, below 0 where it was colder; missing without either."""
        return None if self.low_c is None or self.limit_c is None else self.low_c - self.limit_c


def trip_nights(store: Store, trip: str) -> list[TripNight]:
    """The nights of a trip, by date."""
    nights = ask(store, "debrief/trip_nights", trip=trip)
    failed: dict[date, list[str]] = {}
    for apart in ask(store, "store/nights_apart"):
        if apart["trip"] == trip:
            failed.setdefault(apart["night"], []).append(apart["name"])
    bedding: dict[date, Record] = {
        row["night"]: row
        for row in ask(store, "store/trip_bedding", trip=trip)
        if row["as_limit_c"] is not None
    }
    limits = None
    if any(n["night"] in bedding and n["low_c"] is not None for n in nights):
        from ..cold.limit import cold_limits

        limits = cold_limits(store)
    return [
        TripNight(
            **night,
            **_against(limits, bedding.get(night["night"]), night["low_c"]),
            failed=tuple(failed.get(night["night"], ())),
        )
        for night in nights
    ]


def _against(
    limits: "ColdLimits | None", bedding: Record | None, low_c: float | None
) -> dict[str, Any]:
    """What one night stands against, by what one slept in and how cold it was."""
    if limits is None or bedding is None:
        return {}
    import numpy as np

    from ..cold.limit import system_of

    system = system_of(bedding)
    limit = limits.limit_of(system)
    own, share = limit.basis == "own", None
    if own and low_c is not None:
        share = float(limits.curve(system, np.array([low_c])).chance[0])
    return {
        "limit_c": limit.own_limit_c.value if own else system.as_limit_c,
        "limit_basis": limit.basis,
        "limit_nights": limit.nights,
        "limit_from_c": limit.own_limit_c.low if own else None,
        "limit_to_c": limit.own_limit_c.high if own else None,
        "rated_limit_c": system.as_limit_c,
        "too_cold_share": share,
    }
