"""The demo logbook: the same bytes every time, complete, and clean by the contract.

The files are read back with the csv module alone, apart from one test that asks the project's own
reader. Whether the life in them is true to the truth behind it: see test_demo_truth.py.
"""

import hashlib
import math
import re
from collections import Counter, defaultdict
from datetime import date, timedelta
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from demo_readback import PER_TRIP, Book, readings_of
from landscape import SIZE, landscape
from PIL import Image, ImageChops, ImageStat
from tarebook.tripdata.demo import truth, write_demo

# The bytes are the contract of a demo: reports, README sessions and notebooks quote its numbers.
# Change it together with them, and only when the demo was meant to change.
PINNED = "f0f24dbc9d68bd5d9ecb7ff37e0a4cd49470161a07504238575e038dd5e82164"
PICTURE = "trips/2024-07-up-the-sound/evening.png"
TODAY = date(2026, 11, 25)
MODES = {"foot", "bike", "ebike", "paddle", "mixed"}
SLUG = re.compile(r"[a-z0-9][a-z0-9._-]*")


def contents(folder: Path) -> dict[str, bytes]:
    files = sorted(p for p in folder.rglob("*") if p.is_file())
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in files}


def test_written_twice_it_is_the_same_byte_for_byte(book: Book, tmp_path: Path) -> None:
    write_demo(tmp_path / "again")
    again = contents(tmp_path / "again")
    assert again == contents(book.folder)
    digest = hashlib.sha256()
    for name, data in again.items():
        digest.update(name.encode() + b"\0" + data + b"\0")
    assert digest.hexdigest() == PINNED


def test_writing_leaves_what_else_is_there(tmp_path: Path) -> None:
    (tmp_path / "trips").mkdir()
    for name in ("mine.txt", "trips/mine.txt"):
        (tmp_path / name).write_text("mine", encoding="utf-8")
    write_demo(tmp_path)
    assert (tmp_path / "mine.txt").read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "trips/mine.txt").read_text(encoding="utf-8") == "mine"


def test_files_are_the_contracts_files_and_plain(book: Book) -> None:
    for name, data in contents(book.folder).items():
        if name == PICTURE:
            continue
        assert b"\r" not in data, name
        data.decode("utf-8")
        parts = name.split("/")
        if len(parts) == 1:
            assert name in {
                "gear.csv",
                "weighings.csv",
                "candidates.csv",
                "trip.csv",
                "tarebook.toml",
                "datapackage.json",
            }
        else:
            assert parts[0] == "trips"
            assert parts[1] in book.trips
            assert parts[2].removesuffix(".csv").split("-")[0] in PER_TRIP


def test_one_trip_has_a_picture_that_is_drawn_and_small(book: Book) -> None:
    content = (book.folder / PICTURE).read_bytes()
    assert len(content) < 60_000
    kept = Image.open(BytesIO(content))
    assert not {"exif", "icc_profile", "dpi"} & {*kept.info}
    # Lines may fall a pixel aside in another version of the drawing library.
    apart = ImageStat.Stat(ImageChops.difference(kept.convert("RGB"), landscape()))
    assert kept.size == SIZE
    assert max(apart.mean) < 2


def test_the_reader_finds_nothing_to_say(book: Book) -> None:
    from tarebook.tripdata.check import check_logbook

    found = check_logbook(book.folder)
    assert [str(p) for p in found.problems] == []
    assert [str(p) for p in found.warnings] == []
    assert sum(f.set_aside for f in found.files.values()) == 0
    names = {name for name in contents(book.folder) if name.endswith(".csv")}
    assert {name for name in found.files if name.endswith(".csv")} == names
    assert found.files["gear.csv"].read == len(book.gear)


# --- What is in it ---------------------------------------------------------------------------


def test_counts(book: Book) -> None:
    assert 26 <= len(book.history) <= 30
    assert {t.row["mode"] for t in book.history} == MODES
    nights = [len(t.nights) for t in book.history]
    assert 1 <= nights.count(0) <= 2
    assert max(nights) == 6
    by_mode = Counter(t.row["mode"] for t in book.history)
    assert by_mode["mixed"] == 1
    assert all(by_mode[mode] >= 3 for mode in MODES - {"mixed"})
    assert {t.start.year for t in book.history} == {2023, 2024, 2025, 2026}
    assert sum(bool(g["kit"]) for g in book.gear.values()) >= 74
    kits = {g["kit"] for g in book.gear.values()}
    assert {"Emergency kit", "Repair kit", "Cook kit"} <= kits
    assert 3 <= len(book.candidates) <= 4


def distance_km(lat: float, lon: float, lat2: float, lon2: float) -> float:
    """Great-circle distance on a sphere (haversine formula), good to half a percent."""
    a = math.sin(math.radians(lat2 - lat) / 2) ** 2
    b = math.cos(math.radians(lat)) * math.cos(math.radians(lat2))
    c = math.sin(math.radians(lon2 - lon) / 2) ** 2
    return 2 * 6371.0 * math.asin(math.sqrt(a + b * c))


@pytest.mark.outside(
    "official data",
    "NOAA, inventory of the daily normals 1991-2020, USW00024233",
    "the lowland airport's station lies at 47.4444, -122.3139, 112.8 m",
)
def test_trips_suit_the_calendar_and_the_country(book: Book) -> None:
    airport = (47.4444, -122.3139, 112.8)  # the lowland airport's weather station
    before = date.min
    for trip in book.trips.values():
        lat, lon = float(trip.row["latitude"]), float(trip.row["longitude"])
        assert distance_km(airport[0], airport[1], lat, lon) <= 100
        assert abs(float(trip.row["elevation_m"]) - airport[2]) < 700
        assert trip.start > before
        before = trip.days[-1]
        assert trip.start.weekday() >= 3, "a long weekend begins on Thursday at the earliest"
        assert trip.name.startswith(f"{trip.start:%Y-%m}")
    assert before > TODAY > book.history[-1].days[-1]
    season = Counter((t.start.month % 12) // 3 for t in book.history)
    assert season[0] == min(season.values()), "fewest trips in winter"
    bikes = [t for t in book.history if t.row["mode"] in ("bike", "ebike")]
    assert all(3 <= t.start.month <= 10 for t in bikes)


def test_plans_have_a_packing_list_and_no_history(book: Book) -> None:
    by_bike, by_ebike = book.plans
    assert (by_bike.row["mode"], by_ebike.row["mode"]) == ("bike", "ebike")
    for plan in book.plans:
        assert plan.start > TODAY
        assert len(plan.tables["carried"]) > 50
        assert not any(r["used"] or r["brought_home_g"] for r in plan.tables["carried"])
        assert not any(plan.tables[t] for t in PER_TRIP - {"carried", "distances"})
    assert not by_bike.tables["distances"]
    legs = by_ebike.tables["distances"]
    assert len(legs) == len(by_ebike.days)
    assert all(leg["ascent_m"] and not leg["hours"] + leg["battery_wh"] for leg in legs)


def test_one_thing_is_forgotten(book: Book) -> None:
    """It came along on every trip with a night, and on the other plan."""
    ((name, item),) = truth.FORGOTTEN.items()
    lacking = [t for t in book.trips.values() if t.nights and not t.along(item, t.start)]
    assert [t.name for t in lacking] == [name]
    assert lacking[0] is book.plans[0]


def test_use_records(book: Book) -> None:
    told = Counter(t.row["use_record"] for t in book.history)
    assert told["none"] == 1
    assert told["partial"] == 1
    assert told[""] > 0, "the first year left it blank"
    for trip in book.history:
        cells = [r["used"] for r in trip.tables["carried"]]
        diary = {r["item"] for r in trip.tables["used"]}
        if trip.row["use_record"] == "none":
            assert not any(cells)
            assert not diary
        elif trip.row["use_record"] == "partial":
            assert 0.3 < sum(map(bool, cells)) / len(cells) < 0.7
        else:
            blank = {r["item"] for r in trip.tables["carried"] if not r["used"]}
            assert blank == diary, "each item is told of in one of the two files"
    assert any(r["used_for"] for t in book.history for r in t.tables["used"])


def test_readings_of_the_night(book: Book) -> None:
    steps: Counter[int] = Counter()
    weather_only = part = shelter = 0
    for trip in book.history:
        readings = readings_of(book.folder / "trips" / trip.name)
        shelter += any(spot == "shelter" for *_, spot in readings)
        camp = sorted(at for at, _, spot in readings if spot == "camp")
        assert set(trip.lows) == set(trip.nights)
        if not camp:
            weather_only += bool(trip.nights)
            continue
        gaps = [b - a for a, b in pairwise(camp)]
        steps[int(min(gaps).total_seconds() / 60)] += 1
        assert all(at.hour >= 18 or at.hour <= 8 for at in camp)
        part += max(camp).hour >= 12
    assert weather_only == 2
    assert part == 1, "one logger stopped before midnight"
    assert shelter == 1
    assert set(steps) == {30, 60}
    assert steps[30] > steps[60] >= 3


def test_parcels_companion_boat_battery_and_leftovers(book: Book) -> None:
    rows = [(t, r) for t in book.history for r in t.tables["carried"]]
    assert any(r["until_day"] and not r["from_day"] and "home" in r["note"] for _, r in rows)
    assert any(r["from_day"] and not r["until_day"] for _, r in rows)
    assert len({t.name for t, r in rows if r["carried_by"]}) == 1
    assert book.gear["canoe"]["owner"]
    assert book.gear["spare-battery"]["carried_as"] == "vehicle"
    assert 3500 < float(book.gear["spare-battery"]["weight_g"]) < 4500
    left = [r for _, r in rows if r["brought_home_g"]]
    assert {"food", "gas-cartridge"} <= {r["item"] for r in left}
    for row in left:
        assert book.carried_as(row) == "consumable"
        assert float(row["brought_home_g"]) <= float(row["weight_g"] or 1e9)
    ways = defaultdict(set)
    for trip, row in rows:
        ways[trip.name, row["item"]].add(book.carried_as(row))
    assert {"worn", "base"} in ways.values(), "one shirt worn, one packed"
    assert any(len(t.days) == 2 and "Cut short" in t.row["title"] for t in book.history)


def test_gear_has_a_history(book: Book) -> None:
    for item, gear in book.gear.items():
        for old in filter(None, gear["replaces"].split("; ")):
            assert book.gear[old]["retired_on"] <= gear["bought_on"] or item == "pole-tent"
            assert book.gear[old]["system"] == gear["system"]
    assert sum(bool(g["replaces"]) for g in book.gear.values()) >= 6
    mat = [float(w["weight_g"]) for w in book.weighings if w["item"] == "sleeping-mat"]
    assert float(book.gear["sleeping-mat"]["weight_g"]) < mat[0] <= mat[-1]
    checked = [g["checked_on"] for g in book.gear.values() if g["kit"] == "Emergency kit"]
    assert all(checked)
    assert sum(date.fromisoformat(day) < TODAY - timedelta(365) for day in checked) >= 3
    rated = {i for i, g in book.gear.items() if g["rated_low_c"]}
    assert rated == set(truth.COLD_LIMIT.rated_low_c)
    for item in rated:
        assert float(book.gear[item]["rated_low_c"]) == truth.COLD_LIMIT.rated_low_c[item]
        assert book.gear[item]["rated_as"] in ("limit", "maker")


def test_failures_wishes_and_a_mend_list(book: Book) -> None:
    failures = [r for t in book.history for r in t.tables["failures"]]
    assert len({r["what"] for r in failures}) == len(failures), "no fault is told twice"
    assert {"nuisance", "impaired", "lost use"} <= {r["severity"] for r in failures}
    waiting = [r for r in failures if not r["fixed_on"] and not book.gear[r["item"]]["retired_on"]]
    assert len(waiting) >= 2
    for row in failures:
        assert bool(row["fixed_on"]) == bool(row["fixed_with"])
        assert row["day"] <= (row["fixed_on"] or "9")
        assert row["fixed_on"] <= TODAY.isoformat()
    wished = [(t, r) for t in book.history for r in t.tables["wished"]]
    assert {r["how_much"] for _, r in wished} == {"little", "much", "badly"}
    assert sum(bool(r["item"]) for _, r in wished) >= 4
    assert sum(bool(r["what"]) for _, r in wished) >= 4
    for trip, row in wished:
        assert bool(row["item"]) != bool(row["what"])
        if row["item"]:
            assert not any(trip.along(row["item"], day) for day in trip.days)
            assert book.gear[row["item"]]["bought_on"] <= trip.row["start_on"]
            assert row["item"] not in truth.DEAD_WEIGHT


def test_candidates_make_the_lesson(book: Book) -> None:
    """One would save 90 g for 300, while several hundred grams never used stay in the bags."""
    jacket = next(c for c in book.candidates if c["price"] == "300")
    assert book.weight_g(jacket["replaces"], TODAY) - float(jacket["weight_g"]) == 90
    dead_g = sum(float(book.gear[i]["weight_g"]) for i in truth.DEAD_WEIGHT)
    assert dead_g > 500
    for plan in book.plans:
        assert set(truth.DEAD_WEIGHT) <= {r["item"] for r in plan.tables["carried"]}
    for candidate in book.candidates:
        assert candidate["replaces"] in book.gear
        assert not book.gear[candidate["replaces"]]["retired_on"]
        assert candidate["currency"]


# --- Cells by the contract -------------------------------------------------------------------


def test_keys_references_and_days(book: Book) -> None:
    assert all(SLUG.fullmatch(name) for name in [*book.gear, *book.trips])
    for gear in book.gear.values():
        for other in re.split(r";\s*", "; ".join(filter(None, (gear["needs"], gear["replaces"])))):
            assert not other or other in book.gear
    for trip in book.trips.values():
        inside = {day.isoformat() for day in trip.days} | {""}
        keys: dict[str, tuple[str, ...]] = {
            "carried": ("item", "carried_as", "bag", "from_day"),
            "used": ("item", "day", "used_for"),
            "distances": ("day", "mode"),
            "weather": ("day",),
            "comfort": ("day", "aspect"),
        }
        carried = {r["item"] for r in trip.tables["carried"]}
        for table, rows in trip.tables.items():
            if table in keys:
                found = [tuple(r[c] for c in keys[table]) for r in rows]
                assert len(set(found)) == len(found), (trip.name, table)
            for row in rows:
                for column in ("day", "from_day", "until_day"):
                    assert row.get(column, "") in inside, (trip.name, table, row)
                assert not row.get("item") or row["item"] in book.gear
        assert {r["item"] for r in trip.tables["used"]} <= carried
        assert {r["item"] for r in trip.tables["failures"]} <= carried
        for row in trip.tables["carried"]:
            gear = book.gear[row["item"]]
            assert gear["bought_on"] <= trip.row["start_on"]
            assert not gear["retired_on"] or trip.row["start_on"] < gear["retired_on"]


def test_numbers_lie_where_the_contract_allows(book: Book) -> None:
    ranges = {
        "weight_g": (0.1, 1e5), "brought_home_g": (0, 1e5), "temperature_c": (-60, 60),
        "low_c": (-60, 60), "high_c": (-60, 60), "rain_mm": (0, 1000), "wind_kmh": (0, 300),
        "distance_km": (0, 1000), "ascent_m": (0, 10_000), "hours": (0, 24), "price": (0, 1e6),
        "battery_wh": (0, 1e6), "capacity_wh": (0, 1e6), "r_value": (0, 20), "score": (1, 5),
        "warmth": (-3, 3), "going_without": (0, 10), "expected_nights": (0, 10_000),
        "times": (0, 1000), "quantity": (1, 1000), "cold_below_c": (-60, 60),
        "rated_low_c": (-60, 60), "latitude": (-90, 90), "longitude": (-180, 180),
    }  # fmt: skip
    seen = set()
    tables = [list(book.gear.values()), book.weighings, book.candidates]
    tables += [rows for t in book.trips.values() for rows in t.tables.values()]
    tables.append([t.row for t in book.trips.values()])
    for row in (row for rows in tables for row in rows):
        for column in row.keys() & ranges.keys():
            if row[column]:
                seen.add(column)
                assert re.fullmatch(r"-?\d+(\.\d+)?", row[column]), (column, row)
                low, high = ranges[column]
                assert low <= float(row[column]) <= high, (column, row)
    assert seen == set(ranges)


def test_a_day_is_possible(book: Book) -> None:
    """No e-bike day beyond its batteries, no boat uphill, nobody rides faster than they could."""
    fastest = {"foot": 6, "bike": 25, "ebike": 26, "paddle": 7}  # km/h; common sense
    for trip in book.history:
        wh = float(book.gear["e-bike"]["capacity_wh"])
        for row in trip.tables["distances"]:
            mode = row["mode"] or trip.row["mode"]
            assert float(row["distance_km"]) / float(row["hours"]) < fastest[mode]
            assert float(row["battery_wh"] or 0) <= wh
            assert bool(row["battery_wh"]) == (mode == "ebike")
            assert mode != "paddle" or float(row["ascent_m"]) == 0
        for row in trip.tables["weather"]:
            low = trip.lows.get(date.fromisoformat(row["day"]))
            assert low is None or float(row["high_c"]) > low
