"""False praise of luxuries where nothing gains anything, and power and coverage where it does.

`python tests/benchmarks/bench_ease.py [WORDS] [LOGBOOKS]`: WORDS pick lines (ease, drift, plain,
gains, blank, filled, 12, 40), LOGBOOKS is how many a line has, 100 by default. Goals: a false
"earned" in at most 5 % of logbooks, a false "probably" or better in at most 25 %.
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from worlds import clustered, count, loaded, mean, share, table, wanted
from worlds_comfort import BLANKS, Camper, World, camper

LINES: tuple[tuple[World, str], ...] = (
    ("ease", "luxuries on easy trips, nothing gains"),
    ("drift", "scores rise .3 a year, luxuries come later, nothing gains"),
    ("plain", "luxuries at random, nothing gains"),
    ("gains", "luxuries that gain .45 points on average"),
)
TRUE_GAIN = 0.4
"""Points from which a true gain is one that should be told."""


@dataclass
class Tally:
    """What came of the logbooks of one line."""

    earned: list[bool] = field(default_factory=list)
    praised: list[bool] = field(default_factory=list)
    luxury_earned: list[bool] = field(default_factory=list)
    luxury_praised: list[bool] = field(default_factory=list)
    not_logged: list[float] = field(default_factory=list)
    covered: list[list[bool]] = field(default_factory=list)
    luxury_covered: list[list[bool]] = field(default_factory=list)
    power_earned: list[list[bool]] = field(default_factory=list)
    power_praised: list[list[bool]] = field(default_factory=list)
    ranked: list[float] = field(default_factory=list)
    apart: list[list[bool]] = field(default_factory=list)
    verdicts: dict[str, int] = field(default_factory=dict)

    def add(self, camper: Camper, rows: list[dict[str, Any]]) -> None:
        """Count one logbook's table."""
        truth = [_truth(camper, row) for row in rows]
        for row in rows:
            self.verdicts[row["verdict"]] = self.verdicts.get(row["verdict"], 0) + 1
        false = [row for row, true in zip(rows, truth, strict=True) if true <= 0]
        luxury = [row for row in false if _holds(row, camper.luxuries)]
        self.earned.append(any(row["verdict"] == "earned" for row in false))
        self.praised.append(any(row["verdict"] in ("earned", "probably") for row in false))
        self.luxury_earned.append(any(row["verdict"] == "earned" for row in luxury))
        self.luxury_praised.append(any(r["verdict"] in ("earned", "probably") for r in luxury))
        self.not_logged.append(camper.ease_not_logged)
        judged = [(r, t) for r, t in zip(rows, truth, strict=True) if r["gain_low"] is not None]
        inside = [r["gain_low"] <= t <= r["gain_high"] for r, t in judged]
        self.covered.append(inside)
        self.luxury_covered.append(
            [i for i, (r, _) in zip(inside, judged, strict=True) if _holds(r, camper.luxuries)]
        )
        true = [
            r
            for r, t in zip(rows, truth, strict=True)
            if t >= TRUE_GAIN and r["verdict"] != "always_along"
        ]
        self.power_earned.append([r["verdict"] == "earned" for r in true])
        self.power_praised.append([r["verdict"] in ("earned", "probably") for r in true])
        self.apart.append(
            [
                r["verdict"] not in ("earned", "probably", "not_known", "always_along")
                for r in rows
                if _holds(r, camper.luxuries)
            ]
        )
        gains = [(r["gain"], t) for r, t in judged if _holds(r, camper.luxuries)]
        if len(gains) > 2 and np.ptp([t for _, t in gains]) > 0:
            self.ranked.append(float(np.corrcoef(np.array(gains).T)[0, 1]))

    def print(self, world: World, head: str) -> None:
        """Print the line."""
        print(head)
        if world == "gains":
            print(
                f"  true gains of {TRUE_GAIN:g} and more: earned {clustered(self.power_earned)}, "
                f"probably or earned {clustered(self.power_praised)}"
            )
            print(
                f"  what truly gains nothing: any earned {share(self.earned)}, any probably or "
                f"earned {share(self.praised)}; gain against truth, correlation within a "
                f"logbook {mean(self.ranked)}"
            )
        else:
            print(
                f"  any false earned {share(self.earned)} (goal 5), any false probably or "
                f"earned {share(self.praised)} (goal 25); of luxuries alone "
                f"{share(self.luxury_earned)}, {share(self.luxury_praised)}"
            )
        if world == "ease":
            half = np.array(self.not_logged) > 0.25
            for words, mask in (("a quarter and less", ~half), ("more than a quarter", half)):
                earned = share(np.array(self.earned)[mask])
                print(
                    f"    {words} of ease not logged: earned {earned}, probably "
                    f"{share(np.array(self.praised)[mask])}"
                )
        print(
            f"  coverage of 90 % intervals: all {clustered(self.covered)}, luxuries "
            f"{clustered(self.luxury_covered)}; another verdict for luxuries "
            f"{clustered(self.apart)}"
        )
        print(
            "  verdicts: " + ", ".join(f"{k} {v}" for k, v in sorted(self.verdicts.items())),
            flush=True,
        )


def _truth(camper: Camper, row: dict[str, Any]) -> float:
    """What the things of a row truly add; in these worlds a thing's name is its short name."""
    return sum(camper.gains.get(name.strip(), 0.0) for name in row["items"].split(";"))


def _holds(row: dict[str, Any], names: tuple[str, ...]) -> bool:
    return any(name.strip() in names for name in row["items"].split(";"))


def main() -> None:
    """Print every line that is wanted."""
    for world, words in LINES:
        for trips in (12, 40):
            for form in ("filled", "blank"):
                if not wanted(f"{world} {trips} {form}"):
                    continue
                tally = Tally()
                for n in range(count(100)):
                    rng = np.random.default_rng([n, trips, len(world)])
                    one = camper(rng, trips, world, 1 + (n % 3 == 0))
                    book = one.book.without(BLANKS) if form == "blank" else one.book
                    with loaded(book) as folder:
                        tally.add(one, table(folder, "comfort_gain"))
                tally.print(world, f"{words}; {trips} trips, optional columns {form}")


if __name__ == "__main__":
    main()
