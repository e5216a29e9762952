"""Reads the demo logbook back with the csv module alone, by the contract's own words."""

import csv
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path

PER_TRIP = {
    "carried",
    "used",
    "failures",
    "temperatures",
    "distances",
    "weather",
    "comfort",
    "wished",
}

Row = dict[str, str]


def rows_of(path: Path) -> list[Row]:
    """The rows of a CSV file, none where there is no file; every row as long as the header."""
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    assert found, f"{path} holds no rows"
    for row in found:
        assert None not in row, (path, row)
        assert None not in row.values(), (path, row)
    return found


@dataclass
class Trip:
    """One trip read back: its row, its tables, its nightly lows by the contract's own rule."""

    row: Row
    tables: dict[str, list[Row]]
    lows: dict[date, float] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return self.row["trip"]

    @property
    def start(self) -> date:
        return date.fromisoformat(self.row["start_on"])

    @property
    def days(self) -> list[date]:
        end = date.fromisoformat(self.row["end_on"])
        return [self.start + timedelta(n) for n in range((end - self.start).days + 1)]

    @property
    def nights(self) -> list[date]:
        return self.days[:-1]

    @property
    def full(self) -> bool:
        told = any(r["used"] for r in self.tables["carried"]) or bool(self.tables["used"])
        return self.row["use_record"] == "full" or (not self.row["use_record"] and told)

    def along(self, item: str, day: date) -> bool:
        return any(
            (r["from_day"] or "0") <= day.isoformat() <= (r["until_day"] or "9")
            for r in self.tables["carried"]
            if r["item"] == item
        )

    def used(self, item: str) -> bool:
        counted = [int(r["times"] or 1) for r in self.tables["used"] if r["item"] == item]
        if counted:
            return sum(counted) > 0
        cells = [r["used"] for r in self.tables["carried"] if r["item"] == item]
        return any(cell not in ("", "no", "0") for cell in cells)

    def wet(self, day: date) -> bool:
        row = next(r for r in self.tables["weather"] if r["day"] == day.isoformat())
        return row["wet"] == "yes" or float(row["rain_mm"] or 0) >= 1


@dataclass
class Book:
    """The demo read back."""

    folder: Path
    gear: dict[str, Row]
    weighings: list[Row]
    candidates: list[Row]
    trips: dict[str, Trip]

    @property
    def history(self) -> list[Trip]:
        return [t for t in self.trips.values() if t.row["plan"] != "yes"]

    @property
    def plans(self) -> list[Trip]:
        return [t for t in self.trips.values() if t.row["plan"] == "yes"]

    def weight_g(self, item: str, on: date) -> float:
        known = [w for w in self.weighings if w["item"] == item]
        known = [w for w in known if w["weighed_on"] <= on.isoformat()]
        latest = max(known, key=lambda w: w["weighed_on"], default=self.gear[item])
        return float(latest["weight_g"])

    def carried_as(self, row: Row) -> str:
        return row["carried_as"] or self.gear[row["item"]]["carried_as"] or "base"

    def base_g(self, trip: Trip) -> float:
        return sum(
            float(r["weight_g"] or self.weight_g(r["item"], trip.start)) * int(r["quantity"] or 1)
            for r in trip.tables["carried"]
            if self.carried_as(r) == "base" and not r["carried_by"] and not r["from_day"]
        )

    def had_chance(self, trip: Trip, item: str) -> bool:
        """By the contract's words: any day it came along met a condition it is meant for."""
        meant = [w.strip() for w in self.gear[item]["meant_for"].split(";") if w.strip()]
        if not meant or meant == ["any"]:
            return True
        below = self.gear[item]["cold_below_c"]
        for row in trip.tables["weather"]:
            day = date.fromisoformat(row["day"])
            if not trip.along(item, day):
                continue
            seen = {w.strip() for w in row["conditions"].split(";")}
            cold = bool(below) and day in trip.lows and trip.lows[day] < float(below or 0)
            met = seen | ({"wet"} if trip.wet(day) else set()) | ({"cold"} if cold else set())
            if met & set(meant):
                return True
        return False


def readings_of(folder: Path) -> list[tuple[datetime, float, str]]:
    """Every thermometer reading of a trip, in whichever of the two layouts it was kept."""
    found = [
        (datetime.fromisoformat(r["at"]), float(r["temperature_c"]), r.get("spot") or "camp")
        for r in rows_of(folder / "temperatures.csv")
    ]
    old = rows_of(folder / "temperatures-thermometer.csv")
    return found + [
        (datetime.strptime(r["Clock"], "%m/%d/%Y %H:%M"), float(r["Celsius"]), "camp") for r in old
    ]


def lows_of(folder: Path, weather: list[Row]) -> dict[date, float]:
    """The low of each night: noon to noon, lowest camp reading, else weather's low."""
    by_night: dict[date, list[float]] = defaultdict(list)
    for at, value_c, spot in readings_of(folder):
        if spot == "camp":
            by_night[(at - timedelta(hours=12)).date()].append(value_c)
    lows = {date.fromisoformat(r["day"]): float(r["low_c"]) for r in weather if r["low_c"]}
    return lows | {night: min(values) for night, values in by_night.items()}


def read_back(folder: Path) -> Book:
    """The logbook in that folder."""
    trips = {}
    for row in rows_of(folder / "trip.csv"):
        home = folder / "trips" / row["trip"]
        tables = {t: rows_of(home / f"{t}.csv") for t in PER_TRIP}
        trips[row["trip"]] = Trip(row, tables, lows_of(home, tables["weather"]))
    gear = rows_of(folder / "gear.csv")
    assert len({r["item"] for r in gear}) == len(gear)
    return Book(
        folder,
        {r["item"]: r for r in gear},
        rows_of(folder / "weighings.csv"),
        rows_of(folder / "candidates.csv"),
        trips,
    )
