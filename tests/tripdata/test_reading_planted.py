"""Faults of known kinds planted into a good logbook: each is found, and nothing else."""

import random
from collections.abc import Callable
from pathlib import Path

import kit
import pytest
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.load import Loader
from tarebook.tripdata.store import memory_store

ITEMS = [f"item-{n}" for n in range(12)]
SPARE = [f"spare-{n}" for n in range(6)]
DAYS = [f"2026-05-0{n}" for n in range(1, 8)]
TRIPS = {"river": (DAYS[0], DAYS[6]), "coast": (DAYS[0], DAYS[6])}

Row = dict[str, str]
Place = tuple[str, int, str]
"""File, line and column of a fault."""


class Sheets:
    """The files of a logbook as rows that can be spoilt; a file's rows begin on line 2."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.rows: dict[str, list[Row]] = {}
        self.raw: dict[str, list[str]] = {}
        self.whole: kit.Files = {}
        self.planted: set[Place] = set()
        self.warned: set[Place] = set()
        self.spoilt: set[tuple[str, int]] = set()
        self.rows["gear.csv"] = [
            {
                "item": i,
                "system": rng.choice(["cook", "sleep", "rain"]),
                "weight_g": "100.5",
                "price": "",
            }
            for i in ITEMS + SPARE
        ]
        self.rows["trip.csv"] = [
            {"trip": t, "start_on": s, "end_on": e, "mode": "foot"} for t, (s, e) in TRIPS.items()
        ]
        self.rows["trip.csv"].append(
            {"trip": "spare", "start_on": DAYS[0], "end_on": DAYS[1], "mode": ""}
        )
        self.rows["weighings.csv"] = [
            {"item": i, "weighed_on": "2026-01-01", "weight_g": "99"} for i in ITEMS
        ]
        self.rows["weather.csv"] = [
            {"trip": t, "day": d, "wet": "", "low_c": "5"} for t in TRIPS for d in DAYS
        ]
        for trip in TRIPS:
            self._trip(f"trips/{trip}/")
        self.rows["trips/spare/wished.csv"] = [{"what": "x", "how_much": ""}]

    def _trip(self, at: str) -> None:
        self.rows[at + "carried.csv"] = [
            {
                "trip": "",
                "item": i,
                "quantity": "1",
                "bag": "",
                "from_day": "",
                "until_day": "",
                "used": "",
                "weight_g": "",
                "carried_as": "",
            }
            for i in ITEMS
        ]
        self.rows[at + "used.csv"] = [
            {"item": i, "day": d, "times": "", "used_for": ""} for i in ITEMS[:4] for d in DAYS[:2]
        ]
        self.rows[at + "temperatures.csv"] = [
            {"at": f"{d} {h:02d}:00", "temperature_c": "5.5", "spot": ""}
            for d in DAYS
            for h in range(0, 24, 4)
        ]
        self.rows[at + "comfort.csv"] = [
            {"day": d, "aspect": "", "score": "4", "warmth": ""} for d in DAYS
        ]
        self.rows[at + "failures.csv"] = [
            {"item": i, "day": DAYS[0], "severity": "nuisance"} for i in ITEMS[:3]
        ]
        self.rows[at + "distances.csv"] = [
            {"day": d, "mode": "", "distance_km": "10", "hours": ""} for d in DAYS
        ]
        self.rows[at + "wished.csv"] = [{"what": "socks", "item": "", "how_much": ""}] * 3

    def files_of(self, table: str) -> list[str]:
        """Files of a table, but for those of the trip that may be lost as a whole."""
        return [f for f in self.rows if Path(f).stem == table and "spare" not in f]

    def pick(self, table: str) -> tuple[str, int]:
        """A row of a table, of any of its files, that is not spoilt yet."""
        files = self.files_of(table)
        free = [
            (f, n) for f in files for n in range(len(self.rows[f])) if (f, n) not in self.spoilt
        ]
        chosen = self.rng.choice(free)
        self.spoilt.add(chosen)
        return chosen

    def set(self, table: str, column: str, value: str, told: str | None = None) -> None:
        """Spoil one cell of a row of a table."""
        file, n = self.pick(table)
        self.rows[file][n] = self.rows[file][n] | {column: value}
        self.planted.add((file, n + 2, column if told is None else told))

    def append(self, table: str, row: Row, column: str) -> None:
        """A row more at the end of one of a table's files."""
        file = self.rng.choice(self.files_of(table))
        header = list(self.rows[file][0])
        self.rows[file].append({h: row.get(h, "") for h in header})
        self.spoilt.add((file, len(self.rows[file]) - 1))
        self.planted.add((file, len(self.rows[file]) + 1, column))

    def written(self) -> kit.Files:
        """The files as text."""
        files: kit.Files = dict(self.whole)
        for name, rows in self.rows.items():
            lines = kit.csv_text([list(rows[0]), *[r.values() for r in rows]]).splitlines()
            for n, extra in ((n, e) for (f, n, e) in self.extras if f == name):
                lines[n + 1] += extra
            files[name] = "\n".join(lines) + "\n"
        return files

    extras: list[tuple[str, int, str]]


def _spare_gear(s: Sheets, column: str, value: str) -> None:
    """A gear row that is lost, with records that are lost with it."""
    n = next(i for i in range(len(ITEMS), 18) if ("gear.csv", i) not in s.spoilt)
    s.spoilt.add(("gear.csv", n))
    item = s.rows["gear.csv"][n]["item"]
    s.rows["gear.csv"][n] = s.rows["gear.csv"][n] | {column: value}
    s.planted.add(("gear.csv", n + 2, column))
    if column != "item":
        file = "trips/river/carried.csv"
        s.rows[file].append({**dict.fromkeys(s.rows[file][0], ""), "item": item.upper()})
        s.spoilt.add((file, len(s.rows[file]) - 1))


def _lost_trip(s: Sheets) -> None:
    if ("trip.csv", 2) not in s.spoilt:
        s.spoilt.add(("trip.csv", 2))
        s.spoilt.add(("trips/spare/wished.csv", 0))
        s.rows["trip.csv"][2] |= {"end_on": "2026-04-01"}
        s.planted.add(("trip.csv", 4, "end_on"))


def _extra_cells(s: Sheets) -> None:
    file, n = s.pick("comfort")
    s.extras.append((file, n, ",oops"))
    s.planted.add((file, n + 2, ""))


def _until_before_from(s: Sheets) -> None:
    file, n = s.pick("carried")
    s.rows[file][n] = s.rows[file][n] | {"from_day": DAYS[3], "until_day": DAYS[2]}
    s.planted.add((file, n + 2, "until_day"))


def _repeat(s: Sheets) -> None:
    file, n = s.pick("weighings")
    s.append("weighings", s.rows[file][n] | {"weight_g": "1"}, "item")


def _unknown_folder(s: Sheets) -> None:
    s.whole["trips/nowhere/wished.csv"] = "what\nx\ny\n"
    s.planted.add(("trips/nowhere/wished.csv", 2, "trip"))


def _bad_header(s: Sheets) -> None:
    s.whole["weighings-x.csv"] = "item,weighed_on,weight\nitem-1,2025-01-01,5\n"
    s.planted.add(("weighings-x.csv", 1, "weight_g"))


def _unreadable(s: Sheets) -> None:
    s.whole["candidates.csv"] = b"candidate\0"
    s.planted.add(("candidates.csv", 0, ""))


def _blanked(s: Sheets, table: str, column: str, text: str) -> None:
    """A cell that is blanked with a warning; its row loads."""
    before = set(s.planted)
    s.set(table, column, text)
    s.warned |= s.planted - before
    s.planted = before


FAULTS: list[Callable[[Sheets], None]] = [
    lambda s: s.set("weighings", "weight_g", "1,5"),
    lambda s: s.set("weighings", "weight_g", "0"),
    lambda s: s.set("weighings", "weighed_on", "01/02/2026"),
    lambda s: s.set("weighings", "item", "itm-3x"),
    lambda s: s.set("weather", "wet", "perhaps"),
    lambda s: s.set("weather", "low_c", "99"),
    lambda s: s.set("weather", "day", "2026-06-01"),
    lambda s: s.set("weather", "trip", "revir"),
    lambda s: s.set("weather", "trip", ""),
    lambda s: s.set("carried", "quantity", "1001"),
    lambda s: s.set("carried", "weight_g", "2 kg"),
    lambda s: s.set("carried", "carried_as", "hidden"),
    lambda s: s.set("carried", "from_day", "2026-05-31"),
    lambda s: _blanked(s, "carried", "used", "often"),
    lambda s: s.set("carried", "trip", "spare"),
    lambda s: s.set("temperatures", "at", "2026-05-01T10:00Z"),
    lambda s: s.set("temperatures", "temperature_c", "nan"),
    lambda s: s.set("temperatures", "temperature_c", ""),
    lambda s: s.set("temperatures", "spot", "hut"),
    lambda s: s.set("comfort", "score", "6"),
    lambda s: s.set("comfort", "warmth", "-4"),
    lambda s: s.set("comfort", "aspect", "food"),
    lambda s: s.set("failures", "severity", ""),
    lambda s: s.set("failures", "day", "2026-02-30"),
    lambda s: s.set("distances", "hours", "25"),
    lambda s: s.set("distances", "mode", "rocket"),
    lambda s: s.set("distances", "day", "46143"),
    lambda s: s.set("wished", "how_much", "a bit"),
    lambda s: s.set("wished", "item", "nothing-like-it"),
    lambda s: s.set("used", "times", "-1"),
    lambda s: s.set("used", "used_for", "fun"),
    lambda s: s.append("used", {"item": SPARE[5]}, "item"),
    lambda s: s.append("carried", {"item": "Total", "quantity": "x"}, "item"),
    lambda s: s.append("distances", {"day": "SUM", "distance_km": "1e9"}, "day"),
    lambda s: s.append("wished", {"how_much": "badly"}, "what"),
    lambda s: _spare_gear(s, "system", "cokc"),
    lambda s: _spare_gear(s, "item", "a/b"),
    _lost_trip,
    _extra_cells,
    _until_before_from,
    _repeat,
    _unknown_folder,
    _bad_header,
    _unreadable,
]


def spoilt(seed: str) -> Sheets:
    rng = random.Random(seed)
    sheets = Sheets(rng)
    sheets.extras = []
    faults = rng.sample(FAULTS, rng.randint(0, 12))
    # Rows are added last, so that the lines of the others stay where they are.
    for fault in sorted(faults, key=lambda f: f is _repeat):
        fault(sheets)
    return sheets


@pytest.mark.parametrize("part", range(4))
def test_what_is_planted_is_found_and_nothing_else(
    part: int, tmp_path_factory: pytest.TempPathFactory, times: Callable[[int], int]
) -> None:
    for n in range(times(20)):
        sheets = spoilt(f"{part} {n}")
        folder = kit.write(tmp_path_factory.mktemp("book"), sheets.written())
        findings = check_logbook(folder)
        kit.prove_sums(findings)
        told = {(p.file, p.line, p.column) for p in findings.problems}
        assert told == sheets.planted, (part, n, [str(p) for p in findings.problems])
        assert {(w.file, w.line, w.column) for w in findings.warnings} == sheets.warned


def test_each_kind_alone(tmp_path_factory: pytest.TempPathFactory) -> None:
    for n, fault in enumerate(FAULTS):
        sheets = Sheets(random.Random(n))
        sheets.extras = []
        fault(sheets)
        folder = kit.write(tmp_path_factory.mktemp("book"), sheets.written())
        findings = check_logbook(folder)
        assert {(p.file, p.line, p.column) for p in findings.problems} == sheets.planted, n
        assert {(w.file, w.line, w.column) for w in findings.warnings} == sheets.warned, n
        assert len(findings.problems) <= 2


def test_set_based_reading_finds_the_same(
    tmp_path_factory: pytest.TempPathFactory, times: Callable[[int], int]
) -> None:
    with memory_store() as connection:
        for n in range(times(4)):
            sheets = spoilt(f"large {n}")
            folder = kit.write(tmp_path_factory.mktemp("book"), sheets.written())
            findings = Loader(folder, connection, folder, bulk_bytes=0).run()
            kit.prove_sums(findings)
            assert {(p.file, p.line, p.column) for p in findings.problems} == sheets.planted
            kit.clear(connection)
