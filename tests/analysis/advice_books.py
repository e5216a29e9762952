"""Invented logbooks with gear of every kind, their optional columns blank or filled at random.

A book is plain text, table by table, as its owner would have typed it. Trips are of one season and
mostly of one mode; plans are of the same season and mode, or of another, or longer. Every third
book has all optional columns blank: only what a trip needs is written (item, name, system, weight;
trip and its days; what was carried and whether it was used).
"""

import csv
import random
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from advice_gear import THINGS, Thing

NORTH = ("47.45", "-122.30")
"""A place served by a station whose normals come with the program."""

ADVICE = (
    "usage",
    "cull",
    "cull_frontier",
    "most",
    "season_cull",
    "next_swap",
    "buying_case",
    "comfort_value",
)
"""The tables and pages that advise; a small trial of a book reads some of them."""

Row = dict[str, str]
Tables = dict[str, list[Row]]


@dataclass(frozen=True)
class Question:
    """Options of the tables and of the page on what to leave, and which of them are read."""

    options: Mapping[str, object] = field(default_factory=dict)
    read: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Book:
    """A logbook as text: rows by table, tarebook.toml, and what is asked of it."""

    tables: Tables
    settings: str = ""
    asked: tuple[Question, ...] = (Question(),)

    def write(self, folder: Path) -> Path:
        """Write it as CSV; a column without a filled cell is left out."""
        folder.mkdir(parents=True, exist_ok=True)
        for name, rows in self.tables.items():
            names = dict.fromkeys(name for row in rows for name in row)
            columns = [name for name in names if any(row.get(name) for row in rows)]
            with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as out:
                writer = csv.DictWriter(out, columns, extrasaction="ignore", restval="")
                writer.writeheader()
                writer.writerows(rows)
        if self.settings:
            (folder / "tarebook.toml").write_text(self.settings, "utf-8")
        return folder

    def rows(self, table: str) -> list[Row]:
        """The rows of a table; none where it is not there."""
        return self.tables.get(table, [])


MODES = ("foot", "foot", "bike", "ebike", "paddle", "mixed")
MEANT = ("any", "wet", "cold", "cold; wet", "bugs", "snow")


def draw(seed: int, whole: bool = True) -> Book:
    """The logbook of a seed, always the same. Seeds that 3 divides have every optional cell blank.

    whole: whether every table and page is to be read, else some of them, other ones by seed.
    """
    rng = random.Random(f"advice {seed}")
    blank = seed % 3 == 0
    fill = 0.0 if blank else rng.choice((0.15, 0.5, 0.9))
    mode = rng.choice(MODES)
    things = _things(rng, mode)
    modes = {mode, rng.choice(MODES)} if rng.random() < 0.25 else {mode}
    trips = _trips(rng, fill, sorted(modes), "" if blank else rng.choice(("", "", "full", "mix")))
    plans = _plans(rng, fill, mode, trips)
    tables: Tables = {"gear": _gear(rng, fill, things), "trip": trips + plans}
    tables["carried"] = _carried(rng, fill, things, trips, plans)
    if not blank:
        tables |= _conditions(rng, fill, trips)
        if rng.random() < 0.3:
            item = rng.choice(things).item
            tables["wished"] = [{"trip": t["trip"], "item": item} for t in rng.sample(trips, 1)]
    tables["candidates"] = [
        {
            "candidate": "lighter",
            "name": "Lighter shelter C1",
            "system": "shelter",
            "weight_g": "700",
            "replaces": "tent",
            "price": "300",
        },
        {
            "candidate": "cosy",
            "name": "Warmer quilt C2",
            "system": "sleep",
            "weight_g": "1000",
            "replaces": "bag",
            "rated_low_c": "-4",
            "rated_as": "limit",
            "price": "250",
        },
    ]
    if blank:
        tables["candidates"] = [
            {k: c[k] for k in ("candidate", "name", "system", "weight_g", "replaces")}
            for c in tables["candidates"]
        ]
    settings = ""
    if not blank and rng.random() < 0.4:
        named = rng.sample(("clothing", "light", "power", "boat", "first_aid", "food"), 3)
        costs = "\n".join(f"{system} = {rng.choice((0.2, 0.5, 1, 5))}" for system in named)
        settings = f"[regret]\n{costs}\n"
    return Book(
        tables,
        settings,
        _asked(rng, sorted({t["mode"] for t in trips} - {""}), plans, None if whole else seed),
    )


def _things(rng: random.Random, mode: str) -> list[Thing]:
    wanted = {"paddle": "paddle", "ebike": "ebike", "bike": "ebike"}.get(mode)
    odd = rng.random() < 0.3
    fitting = [t for t in THINGS if not t.bound or odd or t.bound == wanted or mode == "mixed"]
    share = rng.choice((0.35, 0.6, 0.9))
    kept = [t for t in fitting if rng.random() < share]
    return kept or [rng.choice(fitting)]


def _trips(rng: random.Random, fill: float, modes: list[str], record: str) -> list[Row]:
    count = rng.choice((4, 8, 10, 14, 27, 30, 45, 60))
    first = rng.randint(1, 12)
    with_mode, with_place = rng.random() < fill, rng.random() < fill
    days: set[date] = set()
    while len(days) < count:
        month = (first - 1 + rng.randint(0, 1)) % 12 + 1
        days.add(date(rng.randint(2016, 2025), month, rng.randint(1, 24)))
    found = []
    for number, start in enumerate(sorted(days)):
        trip = {
            "trip": f"t{number:02d}",
            "start_on": start.isoformat(),
            "end_on": (start + timedelta(rng.randint(1, 3))).isoformat(),
            "mode": rng.choice(modes) if with_mode else "",
            "latitude": NORTH[0] if with_place else "",
            "longitude": NORTH[1] if with_place else "",
            "use_record": {"": "", "full": "full"}.get(
                record, rng.choice(("full", "partial", "none", "all_but", ""))
            ),
            "plan": "",
        }
        found.append(trip)
    return found


def _plans(rng: random.Random, fill: float, mode: str, trips: list[Row]) -> list[Row]:
    """The same again; half a year off; a month off; by another way; twelve nights."""
    start = date.fromisoformat(trips[0]["start_on"])
    with_mode, with_place = rng.random() < max(fill, 0.5), rng.random() < max(fill, 0.5)
    kinds = {
        "again": (0, 2),
        "opposite": (6, 2),
        "later": (3, 2),
        "otherwise": (0, 2),
        "long": (0, 12),
    }
    found = []
    for name, (months, nights) in kinds.items():
        month = (start.month - 1 + months) % 12 + 1
        begins = date(2028 if month < 12 else 2027, month, rng.randint(2, 12))
        other = "foot" if mode != "foot" else "paddle"
        found.append(
            {
                "trip": f"p-{name}",
                "start_on": begins.isoformat(),
                "end_on": (begins + timedelta(nights)).isoformat(),
                "mode": "" if not with_mode else other if name == "otherwise" else mode,
                "latitude": NORTH[0] if with_place else "",
                "longitude": NORTH[1] if with_place else "",
                "use_record": "",
                "plan": "yes",
            }
        )
    return found


def _gear(rng: random.Random, fill: float, things: list[Thing]) -> list[Row]:
    rows = []
    for thing in things:
        row = {
            "item": thing.item,
            "name": thing.name,
            "system": thing.system,
            "weight_g": str(thing.weight_g),
        }
        row |= {key: value for key, value in thing.facts.items() if rng.random() < fill}
        if "rated_low_c" in row:
            row["rated_low_c"] = ("4", "12", "16")[len(things) % 3]
        odd = fill * 0.35
        if rng.random() < odd:
            row["meant_for"] = rng.choice(MEANT)
        if "cold" in row.get("meant_for", "") and rng.random() < odd:
            row["cold_below_c"] = rng.choice(("-5", "0", "6", "15"))
        if rng.random() < odd:
            row["going_without"] = rng.choice(("0", "0.1", "0.5", "1", "3", "10"))
        if rng.random() < odd:
            row["essential"] = rng.choice(("yes", "no", "no", "no"))
        if rng.random() < odd:
            row["insurance"] = rng.choice(("yes", "no", "no", "no"))
        if rng.random() < odd / 3:
            row["owner"] = "Ann"
        if rng.random() < odd / 3:
            row["kit"] = rng.choice(("Emergency kit", "emergency KIT", "Kitchen"))
        rows.append(row)
    return rows


def _carried(
    rng: random.Random, fill: float, things: list[Thing], trips: list[Row], plans: list[Row]
) -> list[Row]:
    habit = {t.item: rng.choice((1, 1, 1, 0.8, 0.4)) for t in things}
    used = {t.item: rng.choice((0, 0, 0, 0, 0.02, 0.1, 0.5, 0.95)) for t in things}
    with_bags = rng.random() < fill
    rows = []
    for trip in [*trips, *plans]:
        for thing in things:
            if not trip["plan"] and rng.random() >= habit[thing.item]:
                continue
            row = {"trip": trip["trip"], "item": thing.item, "used": "", "bag": ""}
            if with_bags:
                row["bag"] = thing.bag
            if not trip["plan"] and trip["use_record"] != "none":
                out = rng.random() < used[thing.item]
                say = trip["use_record"] in ("", "full") or rng.random() < 0.5
                row["used"] = ("yes" if out else "no") if say else ""
            rows.append(row)
    return rows


def _conditions(rng: random.Random, fill: float, trips: list[Row]) -> Tables:
    """Weather of some trips; votes of warmth and scores of some days."""
    weather: list[Row] = []
    comfort: list[Row] = []
    with_weather, with_votes = rng.random() < fill, rng.random() < fill
    shift, cold = rng.choice((-6, 0, 4)), rng.choice((0.0, 0.05, 0.15, 0.5))
    rain = rng.choice((0.0, 0.3))
    few = rng.choice((0.05, 1.0))
    for trip in trips:
        start, end = (date.fromisoformat(trip[k]) for k in ("start_on", "end_on"))
        usual = 8 - 6 * ((start.month - 7.5) / 6) ** 2
        for n in range((end - start).days + 1):
            day = (start + timedelta(n)).isoformat()
            if with_weather:
                weather.append(
                    {
                        "trip": trip["trip"],
                        "day": day,
                        "low_c": f"{usual + shift + rng.gauss(0, 3):.1f}",
                        "wet": "yes" if rng.random() < rain else "no",
                        "conditions": rng.choice(("none", "none", "bugs", "snow")),
                    }
                )
            if with_votes and rng.random() < few and day != trip["end_on"]:
                vote = "-2" if rng.random() < cold else rng.choice(("-1", "0", "0", "1"))
                comfort.append(
                    {
                        "trip": trip["trip"],
                        "day": day,
                        "aspect": "sleep",
                        "score": str(rng.randint(2, 5)),
                        "warmth": vote,
                    }
                )
            if with_votes:
                comfort.append(
                    {
                        "trip": trip["trip"],
                        "day": day,
                        "aspect": "camp",
                        "score": str(rng.randint(2, 5)),
                        "warmth": "",
                    }
                )
    return {name: rows for name, rows in (("weather", weather), ("comfort", comfort)) if rows}


def _asked(
    rng: random.Random, modes: list[str], plans: list[Row], seed: int | None
) -> tuple[Question, ...]:
    """Questions about it, from the plainest to all options at once."""
    names = [plan["trip"] for plan in plans]
    far: dict[str, object] = {"target_g": 1.0, "undecided": True}
    easy: list[dict[str, object]] = [{}, {"coming": rng.choice(names)}]
    hard: list[dict[str, object]] = [
        far,
        {**far, "coming": rng.choice(names)},
        {**far, "coming": ",".join(rng.sample(names, 2))},
    ]
    if modes:
        hard.append({**far, "mode": modes[0], "coming": rng.choice(names)})
    options = rng.sample(easy, 2) + rng.sample(hard, 2)
    if seed is None:
        return tuple(Question(each, frozenset(ADVICE)) for each in options)
    page = [("season_cull",), ("cull", "buying_case"), ("season_cull",), ("cull", "next_swap")]
    asked = [Question(options[0], frozenset(("usage", *page[seed % 4])))]
    page = [("buying_case", "most"), ("season_cull",), ("comfort_value", "most"), ("season_cull",)]
    return (*asked, Question(options[2], frozenset(("usage", "cull_frontier", *page[seed % 4]))))
