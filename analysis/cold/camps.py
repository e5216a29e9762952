"""Whether one's camps were colder than the normals of the stations near them."""

from dataclasses import dataclass, replace
from datetime import date

from ..climate.outlook import Outlook
from ..stats.constants import LEVEL, TAILS
from ..stats.estimate import Estimate
from ..store.rows import Store, ask
from .chance import TooColdChance

FEWEST_TRIPS = 5
"""Before so many trips nothing is said: one cold spell would pass for a habit."""
_COLDER_C = 0.5


@dataclass(frozen=True, slots=True)
class ColdCamps:
    """Camps that were colder than the normals, so that these speak of milder nights.

    ``offset_c``: mean over trips of how far the lows were off, below 0, with its interval and the
    trips as n. ``chance``: of a too cold night, were it so again; missing where no chance is known.
    """

    offset_c: Estimate
    nights: int
    chance: TooColdChance | None = None


def cold_camps(store: Store, before: date) -> ColdCamps | None:
    """From trips over by that day; None unless all of the interval is half a degree below or more.

    Trips, not nights, are what is counted: nights of one trip share its weather and its hollow.
    The interval is Student's t over trip means (NIST/SEMATECH e-Handbook of Statistical Methods
    1.3.5.2, from memory).
    """
    rows = ask(store, "cold/camp_anomalies", before=before)
    n = len(rows)
    if n < FEWEST_TRIPS:
        return None
    from scipy.special import stdtrit  # type: ignore[import-untyped]

    means = [row["anomaly_c"] for row in rows]
    mean = sum(means) / n
    error = (sum((each - mean) ** 2 for each in means) / (n - 1) / n) ** 0.5
    low, high = (mean + float(stdtrit(n - 1, share)) * error for share in TAILS)
    if high > -_COLDER_C:
        return None
    return ColdCamps(Estimate(mean, low, high, LEVEL, n), sum(row["nights"] for row in rows))


def shifted(outlook: Outlook, by_c: float) -> Outlook:
    """The same nights with normals so much higher; chances of thresholds are not carried over."""
    nights = tuple(
        replace(night, normal_low_c=night.normal_low_c + by_c, p_below=None)
        for night in outlook.nights
    )
    return replace(outlook, nights=nights, p_any=None, sum_odds=None)
