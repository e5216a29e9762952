"""The nights of a trip beside what their place and dates usually bring."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ..catalogue.entry import fields_of
from ..stats.ar1_chain import mean_spread
from ..store.rows import Store, ask
from ..store.trip_choice import TripChoice, choose_past_trip
from .season_spread import PLAIN, SeasonSpread, season_of_night
from .station_choice import NoStation, StationChoice, station_of_trip

TWO_IN_THREE_SD = 0.9674215661017012
"""Half the width of the middle two thirds of a normal distribution, in standard deviations."""


@dataclass(frozen=True, slots=True)
class NightContext:
    """One night: its low, the normal of the low there and then, and how far apart they are.

    ``sd_c`` is the standard deviation of single lows around the normal, ``percentile`` the share
    of such nights, in per cent, that are as cold or colder, by the season's curve.
    """

    night: date
    low_c: float | None
    low_source: str | None
    normal_low_c: float | None
    sd_c: float | None
    anomaly_c: float | None
    percentile: float | None

    @property
    def deviations(self) -> float | None:
        """Low less normal in standard deviations."""
        if self.anomaly_c is None or self.sd_c is None:
            return None
        return self.anomaly_c / self.sd_c


@dataclass(frozen=True, slots=True)
class TripContext:
    """A trip's nights in context; nothing is known of them where ``station`` is a NoStation.

    ``anomaly_c`` is the mean over the ``judged`` nights, those with a low and a normal, missing
    where there is none; ``anomaly_sd_c`` the standard deviation of such a mean by chance, the
    nights not being independent (AR(1)), missing where a spread is. ``p_as_cold`` is the chance
    that the same nights are as cold or colder on average, such means taken as normally distributed;
    ``coldest`` the night that fell farthest below its normal, in standard deviations.
    """

    trip: TripChoice
    station: StationChoice | NoStation
    nights: tuple[NightContext, ...]
    judged: int
    anomaly_c: float | None
    anomaly_sd_c: float | None
    p_as_cold: float | None
    coldest: NightContext | None

    @property
    def deviations(self) -> float | None:
        """The mean anomaly in standard deviations of such means."""
        if self.anomaly_c is None or self.anomaly_sd_c is None:
            return None
        return self.anomaly_c / self.anomaly_sd_c


@dataclass(frozen=True, slots=True)
class BandNight:
    """What is usual for one night: the normal of the low and the spread of single nights.

    ``sd_c`` is the file's standard deviation, ``season`` the distribution of lows around their
    normal in units of it.
    """

    night: date
    normal_low_c: float
    sd_c: float | None
    season: SeasonSpread = PLAIN

    def middle_c(self, deviations: float) -> tuple[float, float] | None:
        """Between which lows such a part of the nights lies, as that many deviations either side
        of the normal are of a normal distribution; None where the spread is not known."""
        if self.sd_c is None:
            return None
        low, high = self.season.deviation(-deviations), self.season.deviation(deviations)
        return self.normal_low_c + self.sd_c * low, self.normal_low_c + self.sd_c * high


def trip_context(store: Store, trip: str | None = None) -> TripContext:
    """The context of a past trip, by default the latest.

    Raises QuestionError where there is no such trip, or where it is a plan.
    """
    chosen = choose_past_trip(store, trip)
    nights = tuple(NightContext(**row) for row in ask(store, "climate/trip_lows", trip=chosen.trip))
    judged = [n for n in nights if n.anomaly_c is not None]
    anomalies = [n.anomaly_c for n in nights if n.anomaly_c is not None]
    anomaly = round(sum(anomalies) / len(anomalies), 6) if anomalies else None
    spread = _spread_of_mean(judged)
    coldest = min(
        (n for n in judged if n.deviations is not None),
        key=lambda n: (n.deviations, n.night),
        default=None,
    )
    return TripContext(
        trip=chosen,
        station=station_of_trip(store, chosen.trip),
        nights=nights,
        judged=len(judged),
        anomaly_c=anomaly,
        anomaly_sd_c=spread,
        p_as_cold=_share_as_cold(judged, anomaly, spread),
        coldest=coldest,
    )


def _share_as_cold(
    judged: Sequence[NightContext], anomaly_c: float | None, spread_c: float | None
) -> float | None:
    """The share of such trips as cold; of a single night that of its own, by the season's curve."""
    from scipy.special import ndtr  # type: ignore[import-untyped]

    if anomaly_c is None or spread_c is None:
        return None
    if len(judged) == 1 and judged[0].percentile is not None:
        return judged[0].percentile / 100
    return float(ndtr(anomaly_c / spread_c))


def _spread_of_mean(nights: Sequence[NightContext]) -> float | None:
    spreads = [n.sd_c for n in nights if n.sd_c is not None]
    if not nights or len(spreads) < len(nights):
        return None
    return mean_spread(spreads, [n.night.toordinal() for n in nights])


def normal_band(
    store: Store, station: StationChoice, first: date, last: date
) -> tuple[BandNight, ...]:
    """What is usual for every night from ``first`` to ``last`` at the place a station serves."""
    rows = ask(
        store,
        "climate/normal_band",
        first=first,
        last=last,
        **fields_of(station, "station", "product", "period", "adjustment_c"),
        **fields_of(station, "spread_product", "spread_period"),
    )
    return tuple(
        BandNight(**row, season=season_of_night(row["night"], station.latitude)) for row in rows
    )
