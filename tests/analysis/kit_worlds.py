"""Invented campers with habits of packing, and plans from whose list three things are missing.

A logbook has 12 trips (or so many as asked) on foot between June and September, and others in
between: on foot in winter, and by bike. Every habit is drawn anew for every camper:

- staples come along on 86 to 100 % of trips of their kind, things by mood on 30 to 60 %, and with
  one another (a light trip leaves many of them), rare ones on 2 to 15 %;
- warm things come along in winter, summer's from May to September, the bike's by bike;
- two staples were given up and others took over from them, one was given up and nothing came in its
  place, one thing is bought only after the plan's start;
- of two jackets one comes along and never both, by mood; so with two pots, mostly the one;
- two trifles always came along and were never used.

The plan is like the summer's trips on foot. Its list has all that came along on at least 80 % of
them, the others as they would be packed, but three of the former, none of which stayed unused
enough to be left at home on purpose.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from worlds import PLACE, Book, nights_of_trip, outing

STAPLES = (
    ("tent", "shelter", 1500),
    ("quilt", "sleep", 750),
    ("mat", "sleep", 420),
    ("rucksack", "bags", 950),
    ("stove", "cook", 95),
    ("spoon", "cook", 15),
    ("filter", "water", 80),
    ("bottle", "water", 40),
    ("rain-jacket", "rain", 300),
    ("fleece", "clothing", 310),
    ("socks", "clothing", 70),
    ("headlamp", "light", 80),
    ("phone", "navigation", 190),
    ("map", "navigation", 60),
    ("plasters", "first_aid", 40),
    ("whistle", "safety", 9),
    ("lighter", "fire", 18),
    ("tape", "repair", 25),
    ("toothbrush", "hygiene", 20),
    ("power-bank", "power", 210),
)
MOODS = (
    ("pillow", "sleep", 80),
    ("book", "leisure", 220),
    ("chair", "leisure", 500),
    ("camp-shoes", "clothing", 260),
    ("spare-shirt", "clothing", 150),
    ("cup", "cook", 70),
    ("towel", "hygiene", 90),
    ("sun-cream", "hygiene", 60),
    ("notebook", "leisure", 110),
    ("umbrella", "rain", 240),
    ("trowel", "hygiene", 20),
    ("cable", "power", 30),
)
RARE = (
    ("binoculars", "leisure", 350),
    ("saw", "fire", 180),
    ("tarp", "shelter", 400),
    ("lantern", "light", 60),
    ("pan", "cook", 230),
    ("drybag", "bags", 50),
)
WARM = (("down-jacket", "clothing", 380), ("mittens", "clothing", 90), ("liner", "sleep", 260))
SUMMER = (("sun-hat", "clothing", 60), ("head-net", "clothing", 25))
BY_BIKE = (("bicycle", "bike", 12_000), ("pump", "repair", 120), ("helmet", "safety", 280))
TRIFLES = (("dice", "leisure", 25), ("medal", "leisure", 40))
TWINS = (("windshirt", "softshell", "clothing"), ("small-pot", "big-pot", "cook"))
FORMER = {"headlamp": "old-headlamp", "filter": "old-filter"}
GIVEN_UP, TO_COME = "camera", "new-gadget"
UNUSED = {"plasters", "whistle", "tape"}
SHARE, OFF = 0.8, 3
BLANKS: dict[str, Sequence[str]] = {
    "gear": ["carried_as", "replaces", "bought_on", "retired_on"],
    "trip": ["mode", "use_record", "latitude", "longitude", "elevation_m"],
    "carried": ["used"],
    "weather": ["*"],
}
"""All that is not required, and the weather."""


@dataclass
class Habits:
    """How likely each thing comes along on a trip of each kind, and is then used."""

    along: dict[str, dict[str, float]]
    used: dict[str, float]
    mood_sd: float
    twins: tuple[float, float]


@dataclass
class Kit:
    """A logbook whose last trip is the plan; what its list lacks, what it has, what is owned no
    more or not yet."""

    book: Book
    plan: str
    missing: list[str]
    listed: list[str]
    gone: list[str]
    like: list[str]
    packed: dict[str, set[str]] = field(default_factory=dict)

    def share(self, thing: str) -> float:
        """Of how many of the like trips it came along, or what it took over from did."""
        return _share(self.packed, self.like, thing)


def _share(packed: dict[str, set[str]], like: list[str], thing: str) -> float:
    names = {thing, FORMER.get(thing, thing)}
    return float(np.mean([bool(names & packed[trip]) for trip in like]))


def _habits(rng: np.random.Generator) -> Habits:
    along: dict[str, dict[str, float]] = {}
    used: dict[str, float] = {}

    def habit(names: list[str], summer: tuple[float, float], use: tuple[float, float]) -> None:
        for name in names:
            p = float(rng.uniform(*summer))
            along[name] = {"summer": p, "winter": p, "bike": p}
            used[name] = float(rng.uniform(*use))

    habit([n for n, *_ in STAPLES], (0.86, 1.0), (0.7, 1.0))
    habit([n for n, *_ in MOODS], (0.3, 0.6), (0.3, 0.9))
    habit([n for n, *_ in RARE], (0.02, 0.15), (0.2, 0.8))
    habit([n for n, *_ in WARM], (0.0, 0.06), (0.5, 0.9))
    habit([n for n, *_ in SUMMER], (0.84, 1.0), (0.5, 0.9))
    habit([n for n, *_ in BY_BIKE], (0.0, 0.0), (0.6, 1.0))
    habit([n for n, *_ in TRIFLES], (0.9, 1.0), (0.0, 0.0))
    for name, *_ in WARM:
        along[name]["winter"] = float(rng.uniform(0.85, 1.0))
    for name, *_ in SUMMER:
        along[name]["winter"] = float(rng.uniform(0.0, 0.06))
    for name, *_ in BY_BIKE:
        along[name]["bike"] = float(rng.uniform(0.92, 1.0))
    along["rucksack"]["bike"] = 0.1
    for name in UNUSED:
        used[name] = float(rng.uniform(0.0, 0.1))
    return Habits(along, used, float(rng.uniform(0, 0.8)), (0.5, float(rng.uniform(0.75, 0.95))))


def _kind(one_start: date, mode: str) -> str:
    if mode == "bike":
        return "bike"
    return "summer" if 6 <= one_start.month <= 9 else "winter"


def _days(rng: np.random.Generator, like: int) -> list[tuple[date, str]]:
    """First days and modes: so many summer's trips on foot, and for two of them one other."""
    trips: set[tuple[date, str]] = set()
    years = max(2, round(like / 4))
    for kind, count, months in (
        ("foot", like, (6, 7, 8, 9)),
        ("winter", round(like / 4) or 1, (11, 12, 1, 2)),
        ("bike", round(like / 4) or 1, (5, 6, 7, 8, 9)),
    ):
        left = count
        while left:
            month = int(rng.choice(months))
            day = date(2026 - 1 - int(rng.integers(0, years)), month, int(rng.integers(1, 29)))
            if all(abs((day - other).days) > 8 for other, _ in trips):
                trips.add((day, "bike" if kind == "bike" else "foot"))
                left -= 1
    return sorted(trips)


def _packed(rng: np.random.Generator, habits: Habits, kind: str) -> set[str]:
    mood = habits.mood_sd * rng.normal()
    bag = set()
    moods = {name for name, *_ in MOODS}
    for name, along in habits.along.items():
        p = along[kind]
        if name in moods:
            odds = p / (1 - p) * np.exp(mood)
            p = odds / (1 + odds)
        if rng.uniform() < p:
            bag.add(name)
    for (one, other, _), p in zip(TWINS, habits.twins, strict=True):
        bag.add(one if rng.uniform() < p else other)
    return bag


def kit(
    rng: np.random.Generator,
    like: int = 12,
    blank: bool = False,
    later: int = 0,
    off: Sequence[str] = (),
) -> Kit:
    """A camper's log of so many trips like the plan, the others, and the plan.

    ``blank``: only what is required is filled in, and nothing was ever given up or followed.
    ``later``: trips after the plan, drawn after all else. ``off``: what its list lacks in place of
    three drawn things, while it has every other staple.
    """
    habits = _habits(rng)
    days = _days(rng, like)
    start = date(2026, int(rng.choice((6, 7, 8))), int(rng.integers(1, 29)))
    swapped = {new: days[int(rng.integers(len(days) // 4, len(days)))][0] for new in FORMER}
    dropped = days[int(rng.integers(len(days) // 2, len(days)))][0]
    made = Kit(Book(), "the-plan", [], [], [], [])
    _owned(made.book, swapped, dropped, start, blank)
    for n, (day, mode) in enumerate(days):
        name, kind = f"t{n:02d}", _kind(day, mode)
        bag = _packed(rng, habits, kind)
        if not blank:
            bag |= {GIVEN_UP} if day < dropped else set()
            for new, old in FORMER.items():
                if new in bag and day < swapped[new]:
                    bag = bag - {new} | {old}
        made.packed[name] = bag
        if kind == "summer":
            made.like.append(name)
        _went(made.book, name, day, mode, sorted(bag), habits, rng)
    _plan(made, habits, start, rng, off)
    if not blank:
        made.gone = [GIVEN_UP, TO_COME, *FORMER.values()]
    for n in range(later):
        bag = _packed(rng, habits, "summer") | ({TO_COME} if not blank else set())
        day = start + timedelta(30 + 20 * n)
        _went(made.book, f"later-{n}", day, "foot", sorted(bag), habits, rng)
    if blank:
        made.book = made.book.without(BLANKS)
    return made


def _owned(book: Book, swapped: dict[str, date], dropped: date, start: date, blank: bool) -> None:
    groups = (STAPLES, MOODS, RARE, WARM, SUMMER, BY_BIKE, TRIFLES)
    for name, system, grams in (row for group in groups for row in group):
        new = name in FORMER and not blank
        book.add(
            "gear",
            item=name,
            system=system,
            weight_g=grams,
            carried_as="vehicle" if name == "bicycle" else None,
            bought_on=swapped[name] if new else None,
            retired_on=None,
            replaces=FORMER[name] if new else None,
        )
        if new:
            book.add(
                "gear",
                item=FORMER[name],
                system=system,
                weight_g=grams + 60,
                retired_on=swapped[name],
            )
    for one, other, system in TWINS:
        book.add("gear", item=one, system=system, weight_g=180)
        book.add("gear", item=other, system=system, weight_g=350)
    if not blank:
        book.add("gear", item=GIVEN_UP, system="leisure", weight_g=420, retired_on=dropped)
        bought = start + timedelta(12)
        book.add("gear", item=TO_COME, system="leisure", weight_g=90, bought_on=bought)


def _went(
    book: Book,
    name: str,
    day: date,
    mode: str,
    bag: list[str],
    habits: Habits,
    rng: np.random.Generator,
) -> None:
    nights = min(6, nights_of_trip(rng, 2.5))
    _trip(book, name, day, mode, nights)
    one = outing(rng, 0, day, nights)
    for night, low in zip(one.days, one.lows_c, strict=False):
        book.add("weather", trip=name, day=night, low_c=low)
    for item in bag:
        used = rng.uniform() < habits.used.get(item, 0.8)
        book.add("carried", trip=name, item=item, used="yes" if used else "no")


def _trip(book: Book, name: str, day: date, mode: str, nights: int, plan: str = "") -> None:
    book.add(
        "trip",
        trip=name,
        start_on=day,
        end_on=day + timedelta(nights),
        mode=mode,
        latitude=PLACE[0],
        longitude=PLACE[1],
        elevation_m=PLACE[2],
        plan=plan or None,
    )


def _plan(
    made: Kit, habits: Habits, start: date, rng: np.random.Generator, off: Sequence[str]
) -> None:
    owned = [row["item"] for row in made.book.tables["gear"] if not row.get("retired_on")]
    shares = {name: _share(made.packed, made.like, name) for name in owned}
    trifles = {name for name, *_ in TRIFLES}
    staple = {name for name, p in shares.items() if p >= SHARE and name not in trifles}
    twins = {name for one, other, _ in TWINS for name in (one, other)}
    may_miss = sorted(staple - twins)
    drawn = [str(name) for name in rng.choice(may_miss, OFF, replace=False)]
    made.missing = list(off) or drawn
    bag = _packed(rng, habits, "summer") | (staple - twins)
    if off:
        bag |= {name for name, *_ in STAPLES}
    made.listed = sorted(bag - set(made.missing))
    _trip(made.book, made.plan, start, "foot", 2, "yes")
    for item in made.listed:
        made.book.add("carried", trip=made.plan, item=item, used=None)
