"""How far one's camps lie off the normals of stations near them, and what of it is taken on.

The mean of (low less normal) of a trip is that of one's camps, off by what is peculiar to the place
and by the weather: the nights' own spread, alike from one to the next (`ar1_chain.mean_spread`).
Trips are what is counted. How far camps lie off on average is Normal(0, PRIOR_SD_C) beforehand, so
that it has a conjugate normal posterior (Gelman et al. 2013, Bayesian Data Analysis, section 2.5,
from memory): it grows from nothing with each trip, and no line decides whether it counts.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from ..stats.ar1_chain import mean_spread
from ..stats.constants import LEVEL, NINE_IN_TEN_SD
from ..stats.estimate import Estimate
from ..store.rows import Store, ask
from .chance import NightAhead

PRIOR_SD_C = 1.5
"""How far people's camps lie off normals brought to their height; no published source."""
PLACE_SD_C = 1.5
"""How far the places of one's camps lie apart in that; no published source."""
_SPREAD_C = 4.0
"""Standard deviation of single lows where the normals do not have it: more than most."""
_TOLD_C = 0.5
"""Less than this changes a chance by little, and is told in a note alone."""


@dataclass(frozen=True, slots=True)
class CampsOff:
    """How far one's camps were off the normals, in °C, below 0 where they were colder.

    ``measured_c``: plain mean of the trips. ``offset_c``: what is believed of it, mean and 90 %
    interval, with the trips as n, ``sd_c`` its standard deviation; ``nights`` are behind it.
    """

    measured_c: float
    offset_c: Estimate
    sd_c: float
    nights: int

    @property
    def taken_c(self) -> float:
        """What nights to come are taken to be off: the offset where it is colder, else 0.

        Camps that were milder make no night milder: they may have been milder by the weather one
        went in or a thermometer in the tent, and to be wrong about that costs warmth.
        """
        return min(self.offset_c.value, 0.0)

    @property
    def doubt_c(self) -> float:
        """Standard deviation of the offset by the chance of which trips one has: 0 without any.

        That is the posterior's, less the more the prior speaks: without a trip camps are taken to
        be as the normals have them, and nothing is added to what these are off.
        """
        told = 1 - (self.sd_c / PRIOR_SD_C) ** 2
        return float(self.sd_c * told**0.5)

    def nights_as_there(self, nights: Sequence[NightAhead]) -> list[NightAhead]:
        """The same nights, their normals as much colder as is taken on."""
        return [replace(n, normal_low_c=n.normal_low_c + self.taken_c) for n in nights]

    @property
    def colder(self) -> bool:
        """Whether what is taken on is worth a sentence."""
        return self.taken_c <= -_TOLD_C


def camps_colder_c(store: Store, before: date) -> float | None:
    """How much colder than the normals camps of trips over by that day were on average, in °C.

    None where it is not worth a sentence.
    """
    camps = camps_off(store, before)
    return -camps.measured_c if camps is not None and camps.colder else None


def camps_off(store: Store, before: date) -> CampsOff | None:
    """From the measured nights of trips over by that day; None where there is none."""
    trips: dict[str, list[tuple[int, float, float]]] = {}
    for row in ask(store, "cold/camp_nights", before=before):
        night = (row["night"].toordinal(), row["anomaly_c"], row["sd_c"] or _SPREAD_C)
        trips.setdefault(row["trip"], []).append(night)
    if not trips:
        return None
    means, known, weighed = [], 1 / PRIOR_SD_C**2, 0.0
    for nights in trips.values():
        days, anomalies, spreads = zip(*nights, strict=True)
        mean = sum(anomalies) / len(nights)
        weight = 1 / (PLACE_SD_C**2 + mean_spread(spreads, days) ** 2)
        means.append(mean)
        known += weight
        weighed += weight * mean
    value, sd = weighed / known, float(known**-0.5)
    ends = (value - NINE_IN_TEN_SD * sd, value + NINE_IN_TEN_SD * sd)
    return CampsOff(
        sum(means) / len(means),
        Estimate(value, *ends, LEVEL, len(trips)),
        sd,
        sum(map(len, trips.values())),
    )
