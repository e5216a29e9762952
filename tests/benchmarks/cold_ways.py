"""Other ways to take cold camps into the chance of a too cold night, to be set beside the one told.

``normals``: not at all. ``tested``: their plain mean, whole, where five trips and more put all of
its 90 % interval at half a degree and more below 0, else not at all. ``whole``: what is believed of
them, where they were milder, too.
"""

from dataclasses import replace
from datetime import date

from scipy import stats
from tarebook.analysis.climate.outlook import Outlook, outlook_of_trip
from tarebook.analysis.cold.camps import camps_off
from tarebook.analysis.cold.chance import NightAhead, chance_by_point
from tarebook.analysis.cold.limit import cold_limits, system_of
from tarebook.analysis.store.rows import Record, Store, ask
from tarebook.analysis.store.trip_choice import TripChoice


def ways(store: Store, choice: TripChoice, row: Record) -> dict[str, float]:
    """The chance of any too cold night by each way, of a trip's row of `cold_by_set`."""
    outlook = outlook_of_trip(store, choice.trip)
    assert isinstance(outlook, Outlook)
    nights = [
        NightAhead(n.normal_low_c, n.sd_c, n.season) for n in outlook.nights if n.sd_c is not None
    ]
    beds = ask(store, "store/trip_bedding", trip=choice.trip)
    names = set(row["sleep_system"].split(";"))
    system = next(system_of(bed) for bed in beds if set(bed["names"]) == names)

    def chance(off_c: float, doubt_c: float = 0.0) -> float:
        limits = cold_limits(store, choice.start_on)
        there = [replace(n, normal_low_c=n.normal_low_c + off_c) for n in nights]
        by_point = chance_by_point(limits.fit, system.as_limit_c, there, doubt_c)
        return float((limits.fit.weight[limits.place_of(system)] * by_point).sum())

    found = {"told": row["p_cold"], "normals": row["p_cold_by_normals"]}
    off_c = _tested_c(store, choice.start_on)
    found["tested"] = chance(off_c) if off_c else found["normals"]
    camps = camps_off(store, choice.start_on)
    milder = camps is not None and camps.offset_c.value > 0
    found["whole"] = (
        chance(camps.offset_c.value, camps.doubt_c) if milder and camps else found["told"]
    )
    return found


def _tested_c(store: Store, before: date) -> float:
    trips: dict[str, list[float]] = {}
    for row in ask(store, "cold/camp_nights", before=before):
        trips.setdefault(row["trip"], []).append(row["anomaly_c"])
    means = [sum(each) / len(each) for each in trips.values()]
    if len(means) < 5:
        return 0.0
    middle = sum(means) / len(means)
    _, high = stats.t.interval(0.9, len(means) - 1, loc=middle, scale=stats.sem(means))
    return middle if high <= -0.5 else 0.0
