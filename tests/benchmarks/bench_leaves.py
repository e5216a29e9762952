"""How often "leave at home" is wrong, and whether promised misses come true, where truth is known.

`python tests/benchmarks/bench_leaves.py [LOGBOOKS]` (default 60). Each logbook is one invented
camper's, with a new truth: how likely a thing is wanted depends on how cold, wet, dark and long a
trip is, on the camper, on the system and on what else happened on that trip. All of it is drawn
from continuous distributions that share nothing with the models of the program:

- a trip's night low is 5 °C + 8 °C by the time of year, N(0, 4) about it; its share of wet days
  Beta(1.2, 2.5), more in winter; its hours of dark by the time of year; one night and Poisson(1.2);
- a thing is wanted on a trip with logit = level + cold, wet, dark and long times its own slopes
  + that trip's own N(0, .7), shared by all things; level and slopes are normal about those of its
  kind, shifted by the camper (N(-.4, .8)) and by camper and system (N(0, .6)); in one thing of six
  a Student t of 3 degrees of freedom is added to the level: it is another camper's staple.

Ten to forty trips, all within eight weeks of one date in the year. Four columns only, or filled as
a careful owner would: what things are for, what going without would cost, what is not essential,
weather, mode. Then it is asked of trips to come like those, of a named trip in the months seen, and
of a named one that is one to six months off; true rates on the trips to come are averages of 400.
"""

import csv
import io
import json
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Mapping
from contextlib import redirect_stdout
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from tarebook.notebooks import writing
from tarebook.tripdata.store import load_logbook

TO_COME = 400
GOAL = 0.02
Generator = np.random.Generator


@dataclass(frozen=True)
class Kind:
    """A kind of thing: how often it is wanted on a mild, dry, short trip, and what changes that.

    level: on the logit; cold a 5 °C below 8 °C; wet from no day to all; dark a 4 h over 8; long a
    night over two. facts: what a careful owner fills in.
    """

    item: str
    system: str
    level: float
    cold: float = 0.0
    wet: float = 0.0
    dark: float = 0.0
    long: float = 0.1
    facts: Mapping[str, str] = field(default_factory=dict)


def kind(item: str, system: str, level: float, *slopes: float, **facts: str) -> Kind:
    """A kind with its slopes for cold, wet and dark."""
    return Kind(item, system, level, *slopes, facts=facts)


DEAR = {
    "clothing",
    "light",
    "power",
    "food",
    "hygiene",
    "first_aid",
    "safety",
    "navigation",
    "fire",
    "repair",
}
"""Where it hurts most to be without."""
FREE = {"essential": "no"}
KINDS = (
    kind("tent", "shelter", 3), kind("tarp", "shelter", -2, 0, 3, meant_for="wet", **FREE),
    kind("bag", "sleep", 4), kind("pillow", "sleep", 0.5, **FREE),
    kind("liner", "sleep", -2, 1.2, meant_for="cold", cold_below_c="4", **FREE),
    kind("jacket", "clothing", -2, 1.6, 0.3, meant_for="cold", cold_below_c="8"),
    kind("hat", "clothing", -2, 1.5, meant_for="cold", cold_below_c="6"),
    kind("gloves", "clothing", -3, 1.7, 0.4, meant_for="cold", cold_below_c="3"),
    kind("thermals", "clothing", -2.5, 1.3, meant_for="cold", cold_below_c="5"),
    kind("shirt", "clothing", -2.2, 0, 0.8, **FREE), kind("socks", "clothing", -1, 0.2, 1.5),
    kind("cap", "clothing", 0, -1.0, **FREE), kind("cape", "rain", -2, 0, 3, meant_for="wet"),
    kind("sack", "bags", 4), kind("pouch", "bags", -1, meant_for="any"),
    kind("stove", "cook", 2, 0.3), kind("cup", "cook", -2.5, **FREE),
    kind("board", "cook", -2, **FREE), kind("sieve", "cook", -3.5, **FREE),
    kind("pan", "cook", -1.5, **FREE), kind("bottle", "water", 3),
    kind("filter", "water", -1, **FREE), kind("bars", "food", -1, 0.3, **FREE),
    kind("plasters", "first_aid", -1.5), kind("whistle", "safety", -5),
    kind("tape", "repair", -2.5, insurance="no"),
    kind("map", "navigation", -1, insurance="no", **FREE),
    kind("torch", "light", -0.5, 0, 0, 1.6), kind("lantern", "light", -2.5, 0, 0, 1.2, **FREE),
    kind("bank", "power", -2, 0.3, 0, 0.8), kind("charger", "power", -2.5, **FREE),
    kind("cream", "hygiene", -0.5, -0.9, -0.5), kind("towel", "hygiene", -1, -0.5, **FREE),
    kind("glasses", "other", -4, meant_for="any"), kind("cord", "other", -2.5, meant_for="any"),
    kind("book", "leisure", -1, 0, 0.8, 0.5), kind("game", "leisure", -3, 0, 0.7),
    kind("chair", "leisure", 0, -0.3), kind("guide", "leisure", -3.5),
    kind("glass", "leisure", -2.5), kind("saw", "fire", -3, 0.8, insurance="no", **FREE),
)  # fmt: skip


@dataclass(frozen=True)
class Trips:
    """Some trips: the day each starts on, and what it was like."""

    start: list[date]
    nights: np.ndarray
    low_c: np.ndarray
    wet: np.ndarray
    dark_h: np.ndarray

    @classmethod
    def drawn(cls, rng: Generator, count: int, middle: float, spread_d: float) -> "Trips":
        """So many trips in some years, about a day of the year."""
        day = (middle + rng.uniform(-spread_d, spread_d, count)) % 365
        year = rng.integers(2012, 2026, count)
        when = sorted(
            date(int(y), 1, 1) + timedelta(int(d)) for y, d in zip(year, day, strict=True)
        )
        angle = np.array([2 * np.pi * (w.timetuple().tm_yday - 200) / 365 for w in when])
        low = 5 + 8 * np.cos(angle) + rng.normal(0, 4, count)
        wet = np.clip(rng.beta(1.2, 2.5, count) - 0.1 * np.cos(angle), 0, 1)
        dark = 12 - 4.5 * np.cos(angle + 0.48)
        return cls(when, 1 + rng.poisson(1.2, count), low, wet, dark)


class Camper:
    """One camper's truth."""

    def __init__(self, rng: Generator) -> None:
        self._rng = rng
        thrift = rng.normal(-0.4, 0.8)
        habit: dict[str, float] = defaultdict(lambda: float(rng.normal(0, 0.6)))
        odd = np.where(rng.uniform(size=len(KINDS)) < 1 / 6, rng.standard_t(3, len(KINDS)), 0)
        self.level = (
            np.array([k.level + thrift + habit[k.system] + rng.normal(0, 0.8) for k in KINDS]) + odd
        )
        slopes = np.array([[k.cold, k.wet, k.dark, k.long] for k in KINDS])
        self.slopes = slopes * rng.lognormal(0, 0.4, slopes.shape)
        self.slopes += rng.normal(0, (0.15, 0.3, 0.15, 0.05), slopes.shape)

    def chances(self, trips: Trips) -> np.ndarray:
        """How likely each thing is wanted on each trip, what happened there included."""
        like = np.stack(
            [(8 - trips.low_c) / 5, trips.wet, (trips.dark_h - 8) / 4, trips.nights - 2.0]
        )
        own = self._rng.normal(0, 0.7, len(trips.start))
        return 1 / (1 + np.exp(-(self.level[:, None] + self.slopes @ like + own)))


def write(
    rng: Generator,
    folder: Path,
    trips: Trips,
    used: np.ndarray,
    filled: bool,
    plans: Mapping[str, date],
) -> None:
    """The logbook, its plans two nights each."""
    gear = []
    for each in KINDS:
        row = {
            "item": each.item,
            "name": each.item,
            "system": each.system,
            "weight_g": str(int(rng.integers(30, 900))),
        }
        if filled:
            row |= dict(each.facts)
            if rng.uniform() < 0.4:
                row["going_without"] = f"{min(10, rng.lognormal(0.3, 0.8)):.1f}"
        gear.append(row)
    mode = {"mode": "foot"} if filled else {}
    rows = [
        {
            "trip": f"t{n:02d}",
            "start_on": str(start),
            "end_on": str(start + timedelta(int(nights))),
            "plan": "",
        }
        | mode
        for n, (start, nights) in enumerate(zip(trips.start, trips.nights, strict=True))
    ]
    rows += [
        {"trip": name, "start_on": str(day), "end_on": str(day + timedelta(2)), "plan": "yes"}
        | mode
        for name, day in plans.items()
    ]
    carried = [
        {"trip": f"t{n:02d}", "item": k.item, "used": "yes" if used[place, n] else "no"}
        for n in range(len(trips.start))
        for place, k in enumerate(KINDS)
    ]
    weather = [
        {
            "trip": f"t{n:02d}",
            "day": str(start + timedelta(d)),
            "low_c": f"{trips.low_c[n]:.1f}",
            "wet": "yes" if rng.uniform() < trips.wet[n] else "no",
        }
        for n, start in enumerate(trips.start)
        for d in range(int(trips.nights[n]) + 1)
    ]
    folder.mkdir()
    tables = {"gear": gear, "trip": rows, "carried": carried} | (
        {"weather": weather} if filled else {}
    )
    for name, table in tables.items():
        names = dict.fromkeys(column for row in table for column in row)
        with (folder / f"{name}.csv").open("w", newline="") as out:
            writer = csv.DictWriter(out, names, restval="")
            writer.writeheader()
            writer.writerows(table)


def ask(folder: Path, table: str, coming: str = "") -> list[dict[str, Any]]:
    """The rows of a table, as the command prints them."""
    out = io.StringIO()
    with redirect_stdout(out):
        writing.write(table, folder, "json", None, {"coming": coming} if coming else {})
    found: list[dict[str, Any]] = json.loads(out.getvalue())
    return found


@dataclass
class Tally:
    """Sums over logbooks: what was counted in each, so that their spread is known."""

    over: list[int]
    leaves: list[int]

    @classmethod
    def new(cls) -> "Tally":
        """Nothing counted yet."""
        return cls([], [])

    def add(self, over: int, leaves: int) -> None:
        """Count one logbook."""
        self.over.append(over)
        self.leaves.append(leaves)

    def line(self, name: str) -> str:
        """The share over the limit, its error over logbooks, and how many leaves there were."""
        above, below = sum(self.over), sum(self.leaves)
        some = sum(1 for n in self.leaves if n)
        where = f"{some} of {len(self.leaves)} logbooks have any"
        if not below:
            return f"{name}: no leave at all ({where})"
        share, error = ratio(self.over, self.leaves)
        told = f"{100 * share:.2f} ± {100 * error:.2f} %"
        if not above:
            told = (
                f"none, so at most {100 * (1 - 0.05 ** (1 / below)):.2f} % (95 %, were all alike)"
            )
        return f"{name}: {told} of leaves over their limit ({above} of {below}; {where})"


def ratio(above: Iterable[float], below: Iterable[float]) -> tuple[float, float]:
    """A ratio of sums over logbooks and its standard error, logbooks being independent."""
    top, bottom = np.array(list(above), float), np.array(list(below), float)
    if not bottom.sum():
        return 0.0, 0.0
    share = top.sum() / bottom.sum()
    return share, float(np.sqrt(((top - share * bottom) ** 2).sum()) / bottom.sum())


class Bench:
    """What is counted over all logbooks."""

    def __init__(self) -> None:
        self.leaves: dict[str, Tally] = defaultdict(Tally.new)
        self.promises: dict[str, list[tuple[float, float, int]]] = defaultdict(list)
        self.worst: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))

    def judge(self, name: str, rows: list[dict[str, Any]], truth: Mapping[str, float]) -> None:
        """Count the leaves of one answer against the true rates on the trips to come."""
        left = [row for row in rows if row["verdict"] == "leave"]
        over = [row for row in left if truth[row["item"]] > 1 / (3 * max(row["cost"], 1e-9))]
        self.leaves[name].add(len(over), len(left))
        dear, wrong = ([r for r in rows if r["system"] in DEAR] for rows in (left, over))
        self.leaves[f"{name}; of these clothing, light, power, food and help"].add(
            len(wrong), len(dear)
        )
        for row in over:
            self.worst[name][row["item"]] += 1

    def promise(self, name: str, promised: float, realised: float, things: int = 1) -> None:
        """Keep what was promised of a logbook's things and what came of it."""
        self.promises[name].append((promised, realised, things))

    def one(self, rng: Generator, folder: Path, filled: bool) -> None:
        """One logbook: written, loaded, asked."""
        kindly = "filled" if filled else "four columns"
        camper, middle = Camper(rng), rng.uniform(0, 365)
        trips = Trips.drawn(rng, int(rng.integers(10, 41)), middle, 28)
        used = rng.uniform(size=(len(KINDS), len(trips.start))) < camper.chances(trips)
        months = int(rng.integers(1, 7))
        off = (middle + 30.4 * months) % 365
        plans = {
            "like": date(2027, 1, 1) + timedelta(int(middle)),
            "off": date(2027, 1, 1) + timedelta(int(off)),
        }
        write(rng, folder, trips, used, filled, plans)
        load_logbook(folder)
        seen, unseen = (
            dict(
                zip(
                    (k.item for k in KINDS),
                    camper.chances(Trips.drawn(rng, TO_COME, about, 28)).mean(axis=1).tolist(),
                    strict=True,
                )
            )
            for about in (middle, off)
        )
        like = ask(folder, "usage")
        self.judge(f"{kindly}, none named, season seen", like, seen)
        self.judge(
            f"{kindly}, one named in the months seen, season seen",
            ask(folder, "usage", "like"),
            seen,
        )
        ahead = ask(folder, "usage", "off")
        far = "one month" if months == 1 else "two to six months"
        self.judge(f"{kindly}, one named {far} off, season not seen", ahead, unseen)
        self.judge(
            f"{kindly}, none named, {far} off all the same (the headline says so)", like, unseen
        )
        self._promises(folder, kindly, seen)

    def _promises(self, folder: Path, kindly: str, seen: Mapping[str, float]) -> None:
        points = ask(folder, "cull_frontier")
        answer = ask(folder, "cull")
        self.promise(
            f"{kindly}, a thing of the answer",
            sum(row["p_needed"] for row in answer),
            sum(seen[row["item"]] for row in answer),
            len(answer),
        )
        for quarter in (1, 2, 3, 4):
            if points:
                point = points[(len(points) * quarter - 1) // 4]
                left = [each.strip() for each in point["items"].split(";")]
                self.promise(
                    f"{kindly}, frontier at {quarter} of 4 quarters",
                    point["expected_misses"],
                    sum(seen[i] for i in left),
                )

    def tell(self) -> None:
        """Print it all."""
        for name, tally in sorted(self.leaves.items()):
            often = sorted(self.worst[name].items(), key=lambda each: -each[1])[:5]
            most = "; most often " + ", ".join(f"{i} {n}" for i, n in often) if often else ""
            print(f"{tally.line(name)}{most} (goal: at most {100 * GOAL:g} %)", flush=True)
        for name, kept in sorted(self.promises.items()):
            promised, came, things = zip(*kept, strict=True)
            off, error = ratio([c - p for p, c, _ in kept], things)
            print(
                f"{name}: promised misses {sum(promised) / max(sum(things), 1):.3f}, realised "
                f"{sum(came) / max(sum(things), 1):.3f}, difference {off:+.3f} ± {error:.3f} "
                f"(n = {sum(things)})",
                flush=True,
            )


def main(logbooks: int) -> None:
    """Print the figures of so many logbooks of each kind."""
    bench = Bench()
    with tempfile.TemporaryDirectory() as made:
        for number in range(logbooks):
            for filled in (False, True):
                rng = np.random.default_rng([number, int(filled), 2026])
                bench.one(rng, Path(made) / f"{number}-{filled}", filled)
    bench.tell()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
