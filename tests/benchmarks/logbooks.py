"""Large logbooks for the benchmarks, written quickly and always the same."""

import random
from datetime import date, datetime, timedelta
from pathlib import Path

SYSTEMS = ["shelter", "sleep", "clothing", "rain", "cook", "water", "repair", "leisure", "power"]


def write_gear(folder: Path, items: int) -> None:
    """A gear.csv of so many items."""
    rows = [
        f"item-{n:03d},Item {n},{SYSTEMS[n % len(SYSTEMS)]},{20 + n * 7},kit {n % 9}"
        for n in range(items)
    ]
    (folder / "gear.csv").write_text("item,name,system,weight_g,kit\n" + "\n".join(rows) + "\n")


def trip_dates(trips: int) -> list[tuple[str, date, date]]:
    """So many trips of three nights."""
    found = []
    for n in range(trips):
        start = date(1990, 1, 1) + timedelta(days=(n * 13) % 13000)
        found.append((f"trip-{n:05d}", start, start + timedelta(days=3)))
    return found


def write_trips(folder: Path, trips: list[tuple[str, date, date]]) -> None:
    """A trip.csv."""
    modes = ["foot", "bike", "ebike", "paddle"]
    rows = [f"{t},Trip {t},{s},{e},{modes[n % 4]}" for n, (t, s, e) in enumerate(trips)]
    (folder / "trip.csv").write_text("trip,title,start_on,end_on,mode\n" + "\n".join(rows) + "\n")


def write_club(
    folder: Path, trips: int = 20_000, items_a_trip: int = 50, readings_a_trip: int = 250
) -> None:
    """A club's logbook in large files: 1 million carried rows, 5 million readings by default."""
    folder.mkdir(parents=True, exist_ok=True)
    spans = trip_dates(trips)
    write_gear(folder, 400)
    write_trips(folder, spans)
    kinds = ["", "", "", "worn", "consumable", "vehicle"]
    with (folder / "carried.csv").open("w") as out:
        out.write("trip,item,quantity,weight_g,carried_as,bag,used,note\n")
        for n, (trip, _, _) in enumerate(spans):
            for k in range(items_a_trip):
                item = (n * 7 + k * 3) % 400
                weight = f"{50 + item}.5" if k % 10 == 0 else ""
                used = ("yes", "no", "", "2")[(n + k) % 4]
                out.write(f"{trip},item-{item:03d},1,{weight},{kinds[k % 6]},bag {k % 4},{used},\n")
    with (folder / "temperatures.csv").open("w") as out:
        out.write("trip,at,temperature_c,spot\n")
        for n, (trip, start, _) in enumerate(spans):
            at = datetime(start.year, start.month, start.day, 18)
            step = timedelta(minutes=15)
            for k in range(readings_a_trip):
                low_c = (n * 37 + k * 11) % 300 / 10 - 5
                out.write(f"{trip},{at:%Y-%m-%d %H:%M},{low_c:.1f},camp\n")
                at += step


def write_lifetime(folder: Path, trips: int = 600) -> int:
    """A lifetime's logbook in small files; returns how many files it has."""
    folder.mkdir(parents=True, exist_ok=True)
    spans = trip_dates(trips)
    write_gear(folder, 300)
    write_trips(folder, spans)
    rng = random.Random(5)
    files = 2
    for n, (trip, start, _) in enumerate(spans):
        at = folder / "trips" / trip
        at.mkdir(parents=True, exist_ok=True)
        days = [start + timedelta(days=d) for d in range(4)]
        pool = rng.sample(range(300), 45)
        tables = {
            "carried": ["item,quantity,bag,used"]
            + [f"item-{i:03d},1,bag {i % 3},{'yes' if i % 3 else 'no'}" for i in pool],
            "temperatures": ["at,temperature_c"]
            + [f"{d} {h:02d}:00,{10 - h / 4 + n % 5:.1f}" for d in days for h in range(24)],
            "distances": ["day,distance_km,ascent_m"] + [f"{d},{20 + n % 9}.5,400" for d in days],
            "weather": ["day,rain_mm,low_c"] + [f"{d},{n % 3},{n % 12}" for d in days],
            "comfort": ["day,score,warmth"] + [f"{d},{1 + n % 5},0" for d in days[:-1]],
            "failures": ["item,day,severity", f"item-{pool[0]:03d},{days[1]},nuisance"],
        }
        if n % 3 == 0:
            tables["wished"] = ["what,how_much", "a dry sock,much"]
            tables["used"] = ["item,day", f"item-{pool[1]:03d},{days[0]}"]
        for name, rows in tables.items():
            (at / f"{name}.csv").write_text("\n".join(rows) + "\n")
            files += 1
    return files
