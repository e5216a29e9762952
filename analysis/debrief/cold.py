"""How cold each night of a past trip was against one's own limit in the sleep gear of the night."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import duckdb

from ..store.rows import ask


def with_limits(
    connection: duckdb.DuckDBPyConnection, trip: str, nights: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """The rows of a trip's nights with what each stands against.

    ``limit_c`` is the own limit in the sleep gear of the night where that has judged nights
    (``limit_basis`` own), else its rating brought to the limit scale (rated); missing where nothing
    is rated. ``limit_nights`` judged nights are behind it. ``too_cold_share``: how many of such
    nights are too cold, of 1, by the own limit; missing without one or without a low. ``failed``
    names the sleep and shelter gear that had failed that night, by which it is set apart.
    """
    blank = {"limit_c": None, "limit_basis": None, "limit_nights": None, "too_cold_share": None}
    failed: dict[date, list[str]] = {}
    for apart in ask(connection, "store/nights_apart"):
        if apart["trip"] == trip:
            failed.setdefault(apart["night"], []).append(apart["name"])
    rated: dict[date, dict[str, Any]] = {
        row["night"]: row
        for row in ask(connection, "store/trip_bedding", trip=trip)
        if row["as_limit_c"] is not None
    }
    if not any(night["night"] in rated and night["low_c"] is not None for night in nights):
        return [{**n, **blank, "failed": tuple(failed.get(n["night"], ()))} for n in nights]
    import numpy as np

    from ..cold.limit import cold_limits, system_of

    limits = cold_limits(connection)
    found = []
    for night in nights:
        against: dict[str, Any] = dict(blank)
        row = rated.get(night["night"])
        if row is not None:
            system = system_of(row)
            limit = limits.limit_of(system)
            against["limit_basis"], against["limit_nights"] = limit.basis, limit.nights
            against["limit_c"] = system.as_limit_c
            if limit.basis == "own":
                against["limit_c"] = limit.own_limit_c
                if night["low_c"] is not None:
                    curve = limits.curve(system, np.array([night["low_c"]]))
                    against["too_cold_share"] = float(curve.chance[0])
        found.append({**night, **against, "failed": tuple(failed.get(night["night"], ()))})
    return found
