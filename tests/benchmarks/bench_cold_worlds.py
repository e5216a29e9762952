"""The own limit of invented sleepers: coverage, labels, votes on bad nights, flat mats, chances.

`python tests/benchmarks/bench_cold_worlds.py [WORDS] [LOGBOOKS]`: WORDS pick lines (limits,
figures, votes, flat, chance, 12, 40), LOGBOOKS is how many a line has, 60 by default. Goals: 90 %
intervals hold the truth in 87 to 93 %; one bag told by two figures spares no night, and its limits
lie no further apart than those of one figure told twice; promised chances come true.
"""

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from worlds import Book, Row, clustered, count, loaded, mean, page, share, table, wanted
from worlds_cold import BAGS, KINDS, Camper, camper, figure_c

# Limit, comfort and maker's figure of one bag, above its limit, °C, as the program takes them.
ABOVE = {"limit": 0.0, "comfort": 5.0, "maker": 1.0}


def limit_rows(book: Book, names: Sequence[str]) -> list[Row | None]:
    """The row of `cold_limits` for the set each of these bags is in, None where there is none."""
    with loaded(book) as folder:
        return rows_of(table(folder, "cold_limits"), names)


def rows_of(rows: list[Row], names: Sequence[str]) -> list[Row | None]:
    """The row of each bag."""
    return [
        next((r for r in rows if name in re.split(r"; ?", r["sleep_system"])), None)
        for name in names
    ]


@dataclass
class Against:
    """Limits set against the truth."""

    covered: list[list[bool]] = field(default_factory=list)
    errors: list[float] = field(default_factory=list)
    widths: list[float] = field(default_factory=list)

    def add(self, pairs: Sequence[tuple[Row | None, float]]) -> None:
        """Count the limits of one logbook: rows and the truth of each."""
        known = [(r, t) for r, t in pairs if r is not None and r["own_limit_low_c"] is not None]
        self.covered.append([r["own_limit_low_c"] <= t <= r["own_limit_high_c"] for r, t in known])
        self.errors += [r["own_limit_c"] - t for r, t in known]
        self.widths += [r["own_limit_high_c"] - r["own_limit_low_c"] for r, _ in known]

    def words(self) -> str:
        """What came of it."""
        if not self.errors:
            return "no limit"
        width = np.median(self.widths)
        return (
            f"covered {clustered(self.covered)} (goal 87 to 93), limit less truth "
            f"{mean(self.errors)} °C, median width {width:.1f} °C"
        )


def limits(trips: int, logbooks: int) -> None:
    """Coverage of the own limit, one or two bags, labels of all kinds."""
    of: dict[str, Against] = {"one bag": Against(), "two bags": Against()}
    of |= {f"labelled by {kind}": Against() for kind in KINDS}
    for n in range(logbooks):
        rng = np.random.default_rng([n, trips, 1])
        bags = 1 + n % 2
        made = camper(rng, trips, bags)
        kind = KINDS[int(rng.integers(3))]
        figures = [(figure_c(rng, rating, kind), kind) for rating in made.ratings_c]
        rows = limit_rows(made.book(figures), BAGS[:bags])
        pairs = [(row, made.sleeper.limit_c(bag)) for bag, row in enumerate(rows)]
        of[("one bag", "two bags")[bags - 1]].add(pairs)
        of[f"labelled by {kind}"].add(pairs)
    print(f"own limit; {trips} trips")
    for words, each in of.items():
        print(f"  {words}: {each.words()}", flush=True)


def figures(trips: int, logbooks: int) -> None:
    """One bag, two figures: owned and to be bought, and owned twice."""
    spared: dict[str, list[bool]] = {}
    avoided: dict[str, list[bool]] = {}
    sold: dict[str, list[bool]] = {}
    apart: dict[str, list[float]] = {}
    owned: dict[str, list[float]] = {"one figure": [], "two figures": []}
    for n in range(logbooks):
        rng = np.random.default_rng([n, trips, 2])
        made = camper(rng, trips)
        kind = ("comfort", "limit")[n % 2]
        base = round(made.ratings_c[0], 1)
        labels = {k: round(base + above, 1) for k, above in ABOVE.items()}
        offers = [
            dict(
                candidate=f"as-{k}",
                system="sleep",
                weight_g=900,
                replaces=BAGS[0],
                rated_low_c=figure,
                rated_as=k,
                expected_nights=60,
                price=300,
                currency="EUR",
            )
            for k, figure in labels.items()
        ]
        with loaded(made.book([(labels[kind], kind)], offers, place=False)) as folder:
            offered = {r["candidate"]: r for r in table(folder, "buying_case")}
        for k in KINDS:
            row = offered[f"as-{k}"]
            words = "the same figure" if k == kind else f"{kind} owned, {k} offered"
            spares = row["nights_inside_rating"] != row["nights_inside_rating_now"]
            spared.setdefault(words, []).append(spares)
            avoided.setdefault(words, []).append((row["cold_votes_avoided"] or 0) > 0)
            sold.setdefault(words, []).append(_sells_warmth(row))
            same = offered[f"as-{kind}"]["own_limit_c"]
            if k != kind and row["own_limit_c"] is not None and same is not None:
                apart.setdefault(words, []).append(row["own_limit_c"] - same)
        _owned_twice(owned, made, rng, labels)
    print(f"one bag, two figures; {trips} trips")
    for words in spared:
        gap = apart.get(words, [0.0])
        print(
            f"  {words}: other nights inside the rating {share(spared[words])}, cold nights "
            f"spared {share(avoided[words])}, told as warmer {share(sold[words])} (goals 0); "
            f"its limit less that of the same figure {mean(gap)} °C, at most "
            f"{max(gap, key=abs):+.1f}"
        )
    for words, gaps in owned.items():
        if gaps:
            print(
                f"  two owned that are one, {words}: limits {np.mean(gaps):.2f} °C apart on "
                f"average, {np.quantile(gaps, 0.9):.2f} in one of ten"
            )
    further = np.subtract(owned["two figures"], owned["one figure"])
    print(f"  two figures apart, less one figure twice: {mean(further)} °C", flush=True)


def chance(trips: int, logbooks: int) -> None:
    """The chance of a too cold night in a year like the last, promised and true."""
    promised, true, twin = [], [], []
    for n in range(logbooks):
        rng = np.random.default_rng([n, trips, 5])
        made = camper(rng, trips)
        label = (round(made.ratings_c[0], 1), "limit")
        offer = dict(
            candidate="twin",
            system="sleep",
            weight_g=900,
            replaces=BAGS[0],
            rated_low_c=label[0],
            rated_as=label[1],
        )
        with loaded(made.book([label], [offer])) as folder:
            row = table(folder, "buying_case")[0]
        if row["p_cold_year_now"] is not None:
            promised.append(row["p_cold_year_now"])
            true.append(made.chance_next_year(rng))
            twin.append(row["p_cold_year"])
    print(f"chance of a too cold night; {trips} trips")
    _promises(np.array(promised, float), np.array(true, float))
    if twin:
        print(f"  of a twin to be bought, same figure: promised {mean(twin)}", flush=True)


def _sells_warmth(row: dict[str, Any]) -> bool:
    return "spare" in row["verdict"] or "cold night" in row["verdict"]


def _owned_twice(
    owned: dict[str, list[float]], made: Camper, rng: np.random.Generator, labels: dict[str, float]
) -> None:
    """How far apart the limits lie of one bag owned under two names, by one figure or two."""
    pair = made.twice(rng)
    gaps = {}
    for words, kinds in (
        ("one figure", ("comfort", "comfort")),
        ("two figures", ("comfort", "limit")),
    ):
        book = pair.book([(labels[k], k) for k in kinds], names=("bag", "bag-too"))
        first, second = limit_rows(book, ("bag", "bag-too"))
        if first is not None and second is not None:
            gaps[words] = abs(first["own_limit_c"] - second["own_limit_c"])
    if len(gaps) == 2:
        for words, gap in gaps.items():
            owned[words].append(gap)


def _promises(promised: np.ndarray, true: np.ndarray) -> None:
    """Promised chances against true ones, by promise."""
    if not len(promised):
        print("  no chance of a cold night is promised", flush=True)
        return
    print(
        f"  in a year: promised {mean(promised)}, true {mean(true)}, "
        f"difference {mean(promised - true)}"
    )
    for low, high in ((0, 0.2), (0.2, 0.6), (0.6, 1.01)):
        some = (promised >= low) & (promised < high)
        if some.any():
            print(
                f"    promised {low:g} to {min(high, 1):g}: {promised[some].mean():.2f}, true "
                f"{mean(true[some])} ({some.sum()} logbooks)",
                flush=True,
            )


WARNS = re.compile(r"\b(bad|badly|poor|poorly|ill|1 or 2|1–2|1 and 2|worse|slept badly)\b", re.I)
"""A word by which a page may warn that votes stand on bad nights."""


def votes(trips: int, logbooks: int) -> None:
    """Votes on all nights, or mostly on nights that were slept badly."""
    every, bad = Against(), Against()
    warned: list[bool] = []
    calm: list[bool] = []
    for n in range(logbooks):
        rng = np.random.default_rng([n, trips, 3])
        made = camper(rng, trips)
        label = [(round(made.ratings_c[0], 1), "limit")]
        truth = made.sleeper.limit_c()
        for against, only, warns in ((every, False, calm), (bad, True, warned)):
            with loaded(made.book(label, bad_only=only)) as folder:
                rows = rows_of(table(folder, "cold_limits"), BAGS[:1])
                text = page(folder, "comfort_value", ["cold_limit"]).get("cold_limit", "")
                column = any("bad" in name for name in rows[0] or {})
            against.add([(rows[0], truth)])
            sentences = [
                s for s in re.split(r"(?<=[.!?])\s|\n", text) if "vote" in s or "judged" in s
            ]
            warns.append(column or any(WARNS.search(s) for s in sentences))
    print(f"votes; {trips} trips")
    print(f"  on all nights: {every.words()}; warned of {share(calm)}")
    print(f"  mostly on bad nights: {bad.words()}; warned of {share(warned)}", flush=True)


def flat(trips: int, logbooks: int) -> None:
    """A mat that goes flat on some nights: written down, not written down, and never."""
    of = {
        "mat never flat": Against(),
        "flat, written in failures.csv": Against(),
        "flat, not written down": Against(),
    }
    sold: dict[str, list[bool]] = {words: [] for words in of}
    for n in range(logbooks):
        made = camper(np.random.default_rng([n, trips, 4]), trips, flat_mats=True)
        sound = camper(np.random.default_rng([n, trips, 4]), trips)
        warmer = [
            {
                "candidate": "warmer",
                "system": "sleep",
                "weight_g": 1000,
                "replaces": BAGS[0],
                "rated_low_c": round(made.ratings_c[0] - 4, 1),
                "rated_as": "limit",
                "expected_nights": 60,
            }
        ]
        for words, one, failures in zip(of, (sound, made, made), (False, True, False), strict=True):
            label = [(round(one.ratings_c[0], 1), "limit")]
            with loaded(one.book(label, warmer, failures=failures, place=False)) as folder:
                row = rows_of(table(folder, "cold_limits"), BAGS[:1])[0]
                if n % 3 == 0:  # the dear table on every third logbook
                    sold[words].append(_sells_warmth(table(folder, "buying_case")[0]))
            of[words].add([(row, one.sleeper.limit_c())])
    print(f"a mat flat on some nights of three trips in ten; {trips} trips")
    for words, each in of.items():
        print(
            f"  {words}: {each.words()}; a warmer bag told as sparing cold nights "
            f"{share(sold[words])}",
            flush=True,
        )


LINES = {"limits": limits, "figures": figures, "votes": votes, "flat": flat, "chance": chance}


def main() -> None:
    """Print every line that is wanted."""
    os.environ["SOURCE_DATE_EPOCH"] = "1790812800"  # 1 October 2026, after the last trip
    for name, line in LINES.items():
        for trips in (12, 40):
            if wanted(f"{name} {trips}"):
                line(trips, count(60))


if __name__ == "__main__":
    main()
