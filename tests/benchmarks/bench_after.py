"""How forecasts of the demo's trips held, each made from the trips before it alone.

Prints, for each forecast with a record: the need against its interval and the amount for nine in
ten trips; the Brier score of a too cold night; how many missed things would have been named. Where
all was used up the true need of the demo is looked up in its truth, which no forecast sees.
"""

import tempfile
import time
from collections import defaultdict
from datetime import date
from pathlib import Path

import numpy as np
from cold_ways import ways
from tarebook.analysis.ahead.after import AmountAfter, after_trip
from tarebook.analysis.ahead.scores import amount_scores, score
from tarebook.analysis.cold.trips import cold_forecasts
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.rows import Store, ask
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.tripdata.contract import TOO_COLD_VOTE
from tarebook.tripdata.demo import truth, write_demo
from tarebook.tripdata.demo.consumption import eaten_g
from tarebook.tripdata.demo.trips import TRIPS
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2026, 11, 25)
FEWEST = 10
"""Before so many judged trips camps tell little."""


def true_need_g(trip: str, after: AmountAfter) -> float:
    """What the demo's camper needed, had there been enough."""
    if not after.used_up:
        return after.used
    story = next(each for each in TRIPS if each.trip == trip)
    items = (
        [after.need.item]
        if after.need.item
        else [
            item for item in truth.NEED if after.need.system == "food" and item != "gas-cartridge"
        ]
    )
    return sum(eaten_g(story, item) for item in items)


def amounts(store: Store) -> None:
    """A line a consumable or bike: trips, held by the interval, enough for nine in ten."""
    held: dict[str, list[tuple[bool, bool]]] = defaultdict(list)
    for row in ask(store, "store/trips_by_start"):
        if row["plan"]:
            continue
        for after in after_trip(store, choose_trip(store, row["trip"])).amounts:
            if not after.need.trips:
                continue
            needed = true_need_g(row["trip"], after)
            estimate = after.need.amount
            key = f"{after.need.system}, {after.need.item or 'all of it'}"
            inside = estimate.low <= needed <= estimate.high
            held[key].append((inside, needed <= after.need.take_for_9_in_10))
    for key, pairs in sorted(held.items()):
        inside, enough = (sum(column) for column in zip(*pairs, strict=True))
        print(f"{key}: {inside} of {len(pairs)} in the 90 % range, {enough} within the amount")


def cold(store: Store) -> None:
    """Too cold nights against the chance by each way of taking cold camps into it."""
    told: dict[str, list[float]] = defaultdict(list)
    came: list[bool] = []
    for row in ask(store, "store/trips_by_start"):
        choice = choose_trip(store, row["trip"])
        votes = [] if choice.plan else ask(store, "ahead/nights_felt", trip=choice.trip)
        judged = [vote["warmth"] for vote in votes if vote["warmth"] is not None]
        too_cold = any(warmth <= TOO_COLD_VOTE for warmth in judged)
        if not judged or (not too_cold and len(judged) < len(votes)):
            continue
        (ahead,) = cold_forecasts(store, [choice], sets=False)
        if ahead.chance is None or ahead.bedding is None:
            continue
        answer = {
            "sleep_system": ";".join(ahead.bedding.names),
            "p_cold": ahead.chance.p_any.value,
            "p_cold_by_normals": ahead.by_normals,
        }
        for way, chance in ways(store, choice, answer).items():
            told[way].append(chance)
        came.append(too_cold)
    for first in (0, FEWEST):
        y = np.array(came[first:], float)
        print(f"too cold on {y.sum():.0f} of {len(y)} trips, the first {first} left out")
        for way, chances in told.items():
            p = np.array(chances[first:])
            print(f"  {way}: expected {p.sum():.1f}, Brier {((p - y) ** 2).mean():.3f}")


def main(folder: Path) -> None:
    """Write the demo, load it, and print."""
    write_demo(folder)
    load_logbook(folder)
    with open_store(store_path(folder)) as store:
        amounts(store)
        for part in (whole := score(store, TODAY)).amounts:
            print(part)
        print(whole.cold)
        print(whole.missed)
        cold(store)
        started = time.process_time()
        amount_scores(store, TODAY)
        print(f"amounts of all trips: {time.process_time() - started:.2f} s of CPU")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        main(Path(made))
