"""What was read and loaded, but is asked about: weights, long or coming trips, gear given up.

The bounds are the project's own: a slip of the unit or of the year is asked about, a light thing
among heavy ones is not. No published source.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from statistics import median

from .book import Row
from .names import normalised, shown
from .problems import Findings
from .units import OZ_G

_TIMES_OFF = 30
_ALONE = 5
_OUNCES_UNDER_G = {
    "tent": 300,
    "tarp": 80,
    "quilt": 200,
    "rucksack": 150,
    "backpack": 150,
    "mat": 50,
    "mattress": 50,
    "jacket": 40,
    "boots": 120,
    "shoes": 100,
    "sandals": 80,
    "packraft": 400,
}
"""So little no whole one of these weighs, by the last word of its name; from memory."""
_AFTER_HEAD = re.compile(r",|[ -](?:for|with|of|in)[ -]")
_OTHERS_G = 100
"""A thing from this weight on shows that the column is meant in grams."""
_RIGHT = "if it is right, say so with a row in weighings.csv"
_ENOUGH = 3
"""Other things of the system that must be weighed, to say what is usual."""
_OUNCE_LOW, _OUNCE_HIGH = 24.0, 34.0
"""Two weights of one thing whose ratio lies between these may be grams and ounces (28.35)."""
_LONGEST_DAYS = 60


@dataclass(frozen=True, slots=True)
class _Weight:
    file: str
    line: int
    header: str
    item: str
    system: str
    mg: int
    name: str = ""
    vehicle: bool = False


@dataclass(frozen=True, slots=True)
class _Late:
    file: str
    line: int
    trip: str
    item: str


@dataclass(frozen=True, slots=True)
class _Left:
    """What came home of a thing, beside what its row says that it weighed."""

    file: str
    line: int
    trip: str
    item: str
    taken_mg: int | None
    home_mg: int


@dataclass(slots=True)
class Doubts:
    """What is noted of a logbook while it is read, and asked about when all of it is known.

    ``today``: a trip that ends after it and is no plan is asked about; missing where nobody is to.
    """

    findings: Findings
    today: date | None = None
    gear: dict[str, _Weight] = field(default_factory=dict)
    retired: dict[str, date] = field(default_factory=dict)
    starts: dict[str, date] = field(default_factory=dict)
    weighed: dict[str, list[_Weight]] = field(default_factory=lambda: defaultdict(list))
    late: list[_Late] = field(default_factory=list)
    left: list[_Left] = field(default_factory=list)

    def note(self, table: str, file: str, line: int, row: Row, header: str) -> None:
        """Note a row that was accepted; ``header`` is that of its weight."""
        if table == "trip":
            self._trip(file, line, row)
        elif table == "carried":
            self.carried(file, line, row["trip"], row["item"])
            home_mg = row.get("brought_home")
            self.brought_home(file, line, (row["trip"], row["item"], row["weight"], home_mg))
        elif row["weight"] is not None:
            item, system = row["item"], row.get("system") or ""
            about = row.get("name") or "", row.get("carried_as") == "vehicle"
            weight = _Weight(file, line, header, item, system, row["weight"], *about)
            if table == "gear":
                self.gear[item] = weight
            else:
                self.weighed[item].append(weight)
        if table == "gear" and row["retired_on"] is not None:
            self.retired[row["item"]] = row["retired_on"]

    def _trip(self, file: str, line: int, row: Row) -> None:
        self.starts[row["trip"]] = row["start_on"]
        days = (row["end_on"] - row["start_on"]).days
        if days > _LONGEST_DAYS:
            problem = f"is {days} days after start_on ({row['start_on']}); is the year right?"
            self.findings.warn(file, problem, line, "end_on", value=str(row["end_on"]))
        if self.today is not None and row["end_on"] > self.today and not row.get("plan"):
            problem = (
                f"{row['trip']} ends on {row['end_on']}, which is still to come, and yet counts as "
                "a trip that took place; until it is over, yes in the column plan keeps it out of "
                "your record"
            )
            self.findings.warn(file, problem, line, "plan")

    def carried(self, file: str, line: int, trip: str, item: str) -> None:
        """Note that a thing came along; line 0 where it is not known."""
        given_up = self.retired.get(item)
        if given_up is not None and self.starts[trip] > given_up:
            self.late.append(_Late(file, line, trip, item))

    def brought_home(
        self, file: str, line: int, row: tuple[str, str, int | None, int | None]
    ) -> None:
        """Note what came home: trip, item, its weight by the row and what was left, in mg."""
        trip, item, taken_mg, home_mg = row
        if home_mg:
            self.left.append(_Left(file, line, trip, item, taken_mg, home_mg))

    def forget(self, files: set[str]) -> None:
        """Begin anew with some files of what came along."""
        self.left = [left for left in self.left if left.file not in files]
        self.late = [late for late in self.late if late.file not in files]

    def tell(self) -> None:
        """Warn of all that is doubtful, each once."""
        for weight, problem in self._weights():
            self.findings.warn(weight.file, problem, weight.line, weight.header)
        # A large file is asked once it is in its table, where those read before it are, too.
        for left in {(x.trip, x.item, x.taken_mg, x.home_mg): x for x in self.left[::-1]}.values():
            taken_mg = left.taken_mg or self._heaviest(left.item)
            if taken_mg is not None and left.home_mg > taken_mg:
                problem = (
                    f"{_grams(left.home_mg)} of {shown(left.item)} came home, more than the "
                    f"{_grams(taken_mg)} that it weighed at the start of {left.trip}; which of the "
                    "two is wrong? Until that is corrected this trip does not count for how much "
                    "is needed"
                )
                self.findings.warn(left.file, problem, left.line, "brought_home")
        by_item: dict[str, dict[str, _Late]] = defaultdict(dict)
        for late in self.late:
            by_item[late.item].setdefault(late.trip, late)
        for item, trips in by_item.items():
            first, more = next(iter(trips.values())), len(trips) - 1
            on = f"on {first.trip}" + (f" and {more} more" if more else "")
            problem = f"{shown(item)} came along {on} after it was given up ({self.retired[item]})"
            advice = "; correct retired_on in gear.csv, or name what came along instead"
            self.findings.warn(first.file, problem + advice, first.line, "item", value=item)

    def _heaviest(self, item: str) -> int | None:
        """The most that a thing ever weighed, by gear.csv and weighings.csv."""
        known = [weight.mg for weight in self.weighed.get(item, ())]
        known += [self.gear[item].mg] if item in self.gear else []
        return max(known, default=None)

    def _weights(self) -> Iterator[tuple[_Weight, str]]:
        systems: dict[str, list[_Weight]] = defaultdict(list)
        heaviest: dict[str, int] = {}
        for weight in self.gear.values():
            if not weight.vehicle:
                systems[weight.system].append(weight)
            heaviest[weight.file] = max(heaviest.get(weight.file, 0), weight.mg)
        for item, weight in self.gear.items():
            if item not in self.weighed:
                others = [w.mg for w in systems[weight.system] if w is not weight]
                problem = _like_ounces(weight, heaviest[weight.file])
                problem = problem or ("" if weight.vehicle else _beside_others(weight, others))
                if problem:
                    yield weight, problem
            for scale in self.weighed.get(item, ()):
                if problem := _beside_itself(scale, weight):
                    yield scale, problem


def _grams(mg: float) -> str:
    return f"{mg / 1000:,.0f} g" if mg >= 100_000 else f"{mg / 1000:.3g} g"


def _like_ounces(weight: _Weight, heaviest_mg: int) -> str:
    """What is doubtful of so light a thing in grams beside others; empty where nothing is."""
    if not weight.header.endswith("_g") or heaviest_mg < _OTHERS_G * 1000:
        return ""
    names = (weight.item, weight.name)
    heads = (normalised(_AFTER_HEAD.split(name)[0]).rpartition("_")[2] for name in names)
    least = max((_OUNCES_UNDER_G.get(head, 0) for head in heads), default=0)
    if weight.mg >= least * 1000:
        return ""
    number = f"{weight.mg / 1000:g}"
    return (
        f"{number} g is little for {shown(weight.name or weight.item)}; were ounces meant? "
        f"{number} oz are {_grams(weight.mg * OZ_G)}; {_RIGHT}"
    )


def _beside_others(weight: _Weight, others: list[int]) -> str:
    """What is doubtful of a weight beside those of its system; empty where nothing is."""
    if len(others) < _ENOUGH:
        return ""
    usual, mg = median(others), weight.mg
    times = max(usual / mg, mg / usual)
    nearest = min(max(other / mg, mg / other) for other in others)
    if times <= _TIMES_OFF or nearest <= _ALONE:
        return ""
    less = "less" if mg < usual else "more"
    usually = f"than is usual in {weight.system} here ({_grams(usual)})"
    return f"{_grams(mg)} is {times:.0f} times {less} {usually}; {_RIGHT}"


def _beside_itself(scale: _Weight, weight: _Weight) -> str:
    """What is doubtful of a reading of the scale beside what gear says; empty where nothing is."""
    times = max(scale.mg / weight.mg, weight.mg / scale.mg)
    if _OUNCE_LOW <= times <= _OUNCE_HIGH:
        return (
            f"{_grams(scale.mg)} here and {_grams(weight.mg)} in {weight.file}:{weight.line}; "
            "is one of them in ounces?"
        )
    return ""
