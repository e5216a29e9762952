"""Logbooks of people who began this year: the four columns that are required, easy trips, no words.

Everything that stayed packed on easy trips did so without proving anything, and nothing in them
says what a thing is for.
"""

import csv
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path

from tarebook.tripdata.store import load_logbook, store_path

KEEPS_ALIVE = (
    ("insulated-jacket", "clothing", 380),
    ("wool-hat", "clothing", 60),
    ("gloves", "clothing", 70),
    ("thermal-top", "clothing", 190),
    ("dry-socks", "clothing", 80),
    ("sun-cream", "hygiene", 90),
    ("spare-glasses", "other", 55),
    ("tablets", "other", 20),
    ("power-bank", "power", 190),
    ("headlamp", "light", 80),
    ("lamp-batteries", "light", 40),
    ("buoyancy-vest", "boat", 600),
    ("snack-bars", "food", 200),
    ("rope-bag", "bags", 60),
    ("second-pot", "cook", 120),
    ("lighter", "cook", 20),
)
"""What keeps warm, lit, fed, healed or afloat, filed as a new owner would."""
CAMP = (
    ("tent", "shelter", 1500),
    ("quilt", "sleep", 700),
    ("mat", "sleep", 400),
    ("filter", "water", 80),
    ("rain-jacket", "rain", 300),
    ("rucksack", "bags", 900),
    ("pot", "cook", 150),
    ("stove", "cook", 95),
    ("plasters", "first_aid", 30),
    ("throw-rope", "safety", 250),
    ("shoes", "clothing", 700),
)
DEAD_WEIGHT = (("chess-set", "leisure", 300), ("binoculars", "leisure", 250))
USED = ("tent", "quilt", "mat", "filter", "pot", "stove", "shoes", "snack-bars")


def write(
    folder: Path,
    things: Sequence[tuple[str, str, int]],
    starts: Sequence[date],
    *,
    nights: int = 2,
    used: Sequence[str] = USED,
    gear: Mapping[str, Mapping[str, str]] | None = None,
    trips: Mapping[str, str] | None = None,
    plan: Mapping[str, str] | None = None,
    votes: Sequence[int] = (),
) -> Path:
    """Write and load a logbook: all things on every trip, of which some were used; its folder.

    ``gear``: further cells by item; ``trips``: further cells of every trip; ``plan``: cells of a
    plan. ``votes``: warmth of the first nights, one a trip.
    """
    folder.mkdir(parents=True, exist_ok=True)
    cells = {item: dict(row) for item, row in (gear or {}).items()}
    rows = [{"item": i, "system": s, "weight_g": str(w), **cells.get(i, {})} for i, s, w in things]
    _table(folder / "gear.csv", rows)
    names = [f"t{n:02d}" for n in range(len(starts))]
    kept = [
        {"trip": t, "start_on": str(d), "end_on": str(d + timedelta(nights)), **(trips or {})}
        for t, d in zip(names, starts, strict=True)
    ]
    if plan is not None:
        kept.append({"trip": "plan", "plan": "yes", **plan})
    _table(folder / "trip.csv", kept)
    along = [*names, *(["plan"] if plan is not None else [])]
    _table(
        folder / "carried.csv",
        [
            {"trip": t, "item": i, "used": "yes" if i in used and t != "plan" else ""}
            for t in along
            for i, _, _ in things
        ],
    )
    if votes:
        _table(
            folder / "comfort.csv",
            [
                {"trip": t, "day": str(d), "score": "4", "warmth": str(v)}
                for t, d, v in zip(names, starts, votes, strict=False)
            ],
        )
    load_logbook(folder)
    return store_path(folder)


def _table(path: Path, rows: Sequence[Mapping[str, str]]) -> None:
    columns = list(dict.fromkeys(name for row in rows for name in row))
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)


def summer(many: int) -> list[date]:
    """So many starts in June to August, over some years."""
    return [date(2024 + n // 5, 6, 10) + timedelta(14 * (n % 5)) for n in range(many)]


JANUARY = {"start_on": "2027-01-15", "end_on": "2027-01-17"}
NEW_YORK = {"latitude": "40.78", "longitude": "-73.97", "elevation_m": "40"}
