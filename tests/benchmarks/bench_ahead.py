"""Do forecasts of a coming trip keep what they promise, where the truth is known?

`python tests/benchmarks/bench_ahead.py [--short] [WORDS] [LOGBOOKS]`: WORDS pick lines (needs,
energy, forgotten, mat, cold, outside, a world, a number of trips), LOGBOOKS is how many a figure
has, 200 by default (cold: 60, outside: 20; `--short`: a tenth). Each trip is forecast from those
before it alone. Beside each stands the bare way: what was used up is taken for the need, and its
plain quantiles are the answer. Goals: 90 % intervals hold at least 90 %, nine in ten runs short at
most once in ten; of three things taken off a list 90 % are named with at most three false names, at
12 like trips.
"""

import os
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "analysis"))

from ahead_answers import (
    THINGS,
    Forecasts,
    Share,
    energy_tried,
    names_tried,
    needs_tried,
    opened,
)
from ahead_worlds import WORLDS, supplies
from cold_ways import ways
from kit_worlds import kit
from outside_answers import outside_tried
from ride_worlds import rides
from tarebook.analysis.catalogue.entry import Remarked
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.trip_choice import choose_trip
from tarebook.analysis.tables import TABLES
from tarebook.tripdata.store import store_path
from worlds import count, loaded, mean, wanted
from worlds_cold import BAGS, Camper, Camps, camper, figure_c
from worlds_outside import Coming, outside

SIZES = (0, 3, 12, 30)
COMING: tuple[Coming, ...] = ("winter", "summer")
SHORT = "--short" in sys.argv
if SHORT:
    sys.argv.remove("--short")


def many(default: int) -> int:
    """How many logbooks a figure has."""
    return count(max(5, default // 10) if SHORT else default)


def needs() -> None:
    """Food and fuel in every world, by number of trips before."""
    for name, world in WORLDS.items():
        sizes = [trips for trips in SIZES if wanted(f"needs {name} {trips}")]
        if not sizes:
            continue
        tallies = {trips: Forecasts() for trips in sizes}
        things = {thing: Forecasts() for thing in THINGS}
        for n in range(many(200)):
            made = supplies(world, max(sizes), np.random.default_rng([n, 14, 1]))
            with opened(made.book) as logbook:
                for trips in sizes:
                    tried = needs_tried(logbook, made, trips)
                    tallies[trips].add(tried)
                    for one in tried:
                        if trips == 12:
                            things[one.thing].add([one])
        for trips, tally in tallies.items():
            print(f"needs, {name}, {trips} trips: {tally}", flush=True)
        for thing, tally in things.items():
            if tally.held.cases:
                print(f"  {thing} alone, 12 trips: {tally}", flush=True)


def energy() -> None:
    """Wh of a trip, by number of trips before; with gaps in the record and without."""
    for gaps in (True, False):
        words = "gaps" if gaps else "whole"
        sizes = [trips for trips in SIZES if wanted(f"energy {words} {trips}")]
        tallies = {trips: Forecasts() for trips in sizes}
        for n in range(many(200) if sizes else 0):
            made = rides(max(sizes), np.random.default_rng([n, 14, 2]), whole=sizes, gaps=gaps)
            with opened(made.book) as logbook:
                for trips in sizes:
                    tallies[trips].add([energy_tried(logbook, made, trips)])
        for trips, tally in tallies.items():
            print(f"energy, {words}, {trips} trips: {tally}", flush=True)


def forgotten() -> None:
    """Recall and false names, by number of like trips, of full columns and of blank ones."""
    for blank in (False, True):
        for like in (3, 12, 30):
            words = "blank" if blank else "filled"
            if not wanted(f"forgotten {words} {like}"):
                continue
            recalled, over, gone, listed = Share(), Share(), Share(), Share()
            false, ranks, culprits = [], [], dict[str, int]()
            for n in range(many(100)):
                made = kit(np.random.default_rng([n, like, 3]), like, blank)
                with opened(made.book) as logbook:
                    names = names_tried(logbook, made)
                recalled.add(names.recalled)
                false.append(len(names.false))
                over.add([len(names.false) > 3])
                gone.add([bool(set(names.named) & set(made.gone))])
                listed.add([bool(set(names.named) & set(made.listed))])
                ranks += [names.named.index(m) + 1 for m in made.missing if m in names.named]
                for name in names.false:
                    culprits[name] = culprits.get(name, 0) + 1
            worst = sorted(culprits.items(), key=lambda pair: -pair[1])[:6]
            print(
                f"forgotten, {words}, {like} like trips: named {recalled}; false names a list "
                f"{mean(false)}, over three on {over}; rank, median {np.median(ranks or [0]):.0f};"
                f" given up or not yet bought {gone}; on the list {listed}; most often false: "
                + ", ".join(f"{name} {times}" for name, times in worst),
                flush=True,
            )


def mat() -> None:
    """How often the mat is named first where the list lacks nothing else of every trip's."""
    for blank in (False, True):
        words = "blank" if blank else "filled"
        if not wanted(f"mat {words}"):
            continue
        first, before = Share(), dict[str, int]()
        for n in range(many(40)):
            made = kit(np.random.default_rng([n, 12, 5]), 12, blank, off=("mat",))
            with opened(made.book) as logbook:
                named = names_tried(logbook, made).named
            first.add([named[:1] == ["mat"]])
            for name in named[: named.index("mat")] if "mat" in named else ["(mat not named)"]:
                before[name] = before.get(name, 0) + 1
        print(f"mat alone left out, {words}: named first {first}; before it {before}", flush=True)


CAMPS = {"usual": 0.0, "colder": -2.0, "milder": 1.5}
PLACES_C = 1.2


def cold() -> None:
    """The chance of any too cold night in the set that came along, against the true one.

    Brier scores are those expected of what is true, so that no luck of single nights is in them.
    """
    for name, off_c in CAMPS.items():
        for trips in (3, 12, 30):
            if not wanted(f"cold {name} {trips}"):
                continue
            told: dict[str, list[float]] = {}
            true, without = [], 0
            for n in range(many(60)):
                rng = np.random.default_rng([n, trips, 4])
                made = camper(rng, trips + 1, 2, camps=Camps(off_c, PLACES_C))
                found = _cold_ways(made, rng)
                if found is None:
                    without += 1
                    continue
                true.append(made.chance_of(rng, trips))
                for way, chance in found.items():
                    told.setdefault(way, []).append(chance)
            y = np.array(true)
            print(f"cold, camps {name}, {trips} trips: true {y.mean():.2f} of {len(y)}, "
                  f"without an answer {without}", flush=True)  # fmt: skip
            for way, chances in told.items():
                p = np.array(chances)
                scores = (p - y) ** 2 + y * (1 - y)
                print(f"  {way}: promised {p.mean():.2f}, less the true one {mean(p - y)}; "
                      f"Brier {scores.mean():.3f}", flush=True)  # fmt: skip


def _cold_ways(made: Camper, rng: np.random.Generator) -> dict[str, float] | None:
    """The last trip's chance by every way; None where the table has none for its bag."""
    labels = [(round(figure_c(rng, r, "limit"), 1), "limit") for r in made.ratings_c]
    outing, bag = made.outings[-1], BAGS[made.bags[-1]]
    colder = {night.trip for night in made.nights if night.vote <= -2}
    with loaded(made.book(labels)) as folder, open_store(store_path(folder)) as store:
        answer = TABLES["cold_by_set"].rows(store, trip=outing.name, today=outing.end)
        assert isinstance(answer, Remarked)
        row = next((r for r in answer.rows if bag in r["sleep_system"].split(";")), None)
        if row is None or row["p_cold"] is None:
            return None
        found = ways(store, choose_trip(store, outing.name), row)
    before = [one.name in colder for one in made.outings[:-1]]
    return {**found, "share of former trips": (sum(before) + 0.5) / (len(before) + 1)}


def outside_season() -> None:
    """A plan of a season of which no trip was: what falls short, and whether the page says so.

    A cold surprise: a too cold night is likelier than not, and the page either told a chance under
    one in four or none at all and no warning of cold.
    """
    for coming in COMING:
        for blank in (False, True):
            words = "blank" if blank else "filled"
            if not wanted(f"outside {coming} {words}"):
                continue
            tally: dict[str, list[bool]] = {}
            for n in range(many(20)):
                rng = np.random.default_rng([n, 14, 6])
                made = outside(coming, 10, rng, blank=blank)
                for name, hit in outside_tried(made).items():
                    tally.setdefault(name, []).append(hit)
            told = "; ".join(f"{name} {_share_of(hits)}" for name, hits in tally.items())
            print(f"outside, {coming} to come, {words}: {told}", flush=True)


def _share_of(hits: list[bool]) -> str:
    share = Share()
    for hit in hits:
        share.add([hit])
    return str(share)


def main() -> None:
    """Print every line that is wanted."""
    os.environ["SOURCE_DATE_EPOCH"] = "1790812800"  # 1 October 2026, after the last trip
    for line in (needs, energy, forgotten, mat, cold, outside_season):
        line()


if __name__ == "__main__":
    main()
