"""The analysis tables once more, in pandas, day by day and night by night.

Written from what the columns mean and not from the SQL: every carried row is laid out over the days
it came along, every use and every weight is looked up on its own, and sums are of whole milligrams
and millimetres.
"""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pandas as pd
from store_drawing import Row, Tables
from tarebook.analysis.weigh_up.unmarked import unmarked_words
from tarebook.tripdata.contract import BY_NAME

KINDS = ("base", "worn", "consumable", "vehicle")
LB_MG = Decimal("453592.37")  # NIST Handbook 44, appendix C: 1 lb = 0.45359237 kg exactly
CLASSES = ((5, "super-ultralight"), (10, "ultralight"), (20, "lightweight"))


def insured(row: Row) -> bool:
    """Whether a thing is insurance by its own cell or system."""
    if row["insurance"] is not None:
        return bool(row["insurance"])
    return row["system"] in ("first_aid", "safety", "navigation", "fire", "repair")


def resolved(row: Row, gear: list[Row]) -> bool:
    """Whether a thing is insurance: blank, it takes after a kit at least half of which is."""
    if row["insurance"] is not None or insured(row):
        return insured(row)
    if not row["kit"] or row["carried_as"] == "vehicle":
        return False
    kit = [
        g
        for g in gear
        if g["kit"] and g["kit"].lower() == row["kit"].lower() and g["carried_as"] != "vehicle"
    ]
    now = [g for g in kit if g["retired_on"] is None]
    return any(
        len(things) >= 2 and sum(map(insured, things)) / len(things) >= 0.5 for things in (kit, now)
    )


class Book:
    """The tables of a store as data frames, blanks as None, with what every question needs."""

    gear: pd.DataFrame
    weighings: pd.DataFrame
    carried: pd.DataFrame
    used: pd.DataFrame
    failures: pd.DataFrame
    temperatures: pd.DataFrame
    distances: pd.DataFrame
    weather: pd.DataFrame
    comfort: pd.DataFrame
    set_aside: pd.DataFrame
    use_not_read: pd.DataFrame

    def __init__(self, tables: Tables) -> None:
        for name in (*BY_NAME, "set_aside", "use_not_read"):
            columns = ["item", "trip", "day", "file", "line", "aspect", "spot", "plan"]
            columns += [c.stored for c in BY_NAME[name].columns] if name in BY_NAME else []
            frame = pd.DataFrame(tables.get(name, []), dtype=object)
            frame = frame.reindex(columns=sorted({*columns, *frame.columns}))
            setattr(self, name, frame.astype(object).where(frame.notna(), None))
        rows = self.gear.to_dict("records")
        kept = {r["item"]: [resolved(r, rows), r["essential"]] for r in rows}
        for row in rows:
            if row["essential"] is None:
                kept[row["item"]][1] = row["system"] in ("shelter", "sleep", "water", "rain")
        for place, column in enumerate(("insurance", "essential")):
            self.gear[column] = [kept[item][place] for item in self.gear["item"]]
        self.trips: dict[str, Row] = {r["trip"]: r for r in tables["trip"]}
        self.rows = self._rows()

    def days(self, name: str) -> list[date]:
        """The days of a trip, both ends included."""
        one = self.trips[name]
        return [d.date() for d in pd.date_range(one["start_on"], one["end_on"])]

    def nights(self, name: str) -> list[date]:
        """The nights of a trip, by the date on which they began."""
        return self.days(name)[:-1]

    def weight_mg(self, row: Row, start_on: date) -> int | None:
        """What one piece weighed on a trip."""
        if row["weight_mg"] is not None:
            return int(row["weight_mg"])
        w = self.weighings
        w = where(w, [i == row["item"] for i in w["item"]])
        w = where(w, [d <= start_on for d in w["weighed_on"]])
        if len(w):
            return int(w.sort_values("weighed_on").iloc[-1]["weight_mg"])
        own = self.gear.set_index("item").loc[row["item"], "weight_mg"]
        return None if own is None else int(own)

    def _rows(self) -> pd.DataFrame:
        """The carried rows with weight, kind, days along and whether they weigh on me at first."""
        found = []
        about = self.gear.set_index("item")
        for row in self.carried.to_dict("records"):
            days = self.days(row["trip"])
            along = [
                d
                for d in days
                if (row["from_day"] is None or d >= row["from_day"])
                and (row["until_day"] is None or d <= row["until_day"])
            ]
            one = self.weight_mg(row, days[0])
            found.append(
                {
                    **row,
                    "system": about.loc[row["item"], "system"],
                    "kind": row["carried_as"] or about.loc[row["item"], "carried_as"],
                    "mg": None if one is None else one * row["quantity"],
                    "mine": row["carried_by"] is None,
                    "on_me": row["carried_by"] is None and days[0] in along,
                    "along": along,
                }
            )
        columns = ["trip", "item", "system", "kind", "mg", "mine", "on_me", "along", "used"]
        return pd.DataFrame(found, columns=columns if not found else None, dtype=object)

    def record(self, name: str) -> str:
        """How far the use of a trip is noted."""
        stated = self.trips[name].get("use_record")
        if stated:
            return str(stated)
        cells = self.rows[self.rows["trip"] == name]["used"].notna().any()
        return "full" if cells or (self.used["trip"] == name).any() else "none"

    def times(self, name: str, item: str) -> int | None:
        """How often an item was used on a trip, as far as anything is said of it."""
        noted = self.used[(self.used["trip"] == name) & (self.used["item"] == item)]
        if len(noted):
            return int(noted["times"].sum())
        cells = self._along(name, item)["used"].dropna()
        return int(cells.sum()) if len(cells) else None

    def use(self, name: str, item: str) -> int | None:
        """How often an item was used on a trip; None where it is not known."""
        said, record = self.times(name, item), self.record(name)
        if record == "none" or (record == "partial" and said is None):
            return None
        unread = zip(self.use_not_read["trip"], self.use_not_read["item"], strict=True)
        if (name, item) in set(unread) and not self._rows_of_use(name, item):
            return said or None
        if record == "all_but" and not self._rows_of_use(name, item):
            held = bool(self.gear.set_index("item").loc[item, "insurance"])
            unsaid = 0 if held else 1
            cells = self._along(name, item)["used"].to_list()
            return sum(unsaid if cell is None or pd.isna(cell) else int(cell) for cell in cells)
        return said or 0

    def _rows_of_use(self, name: str, item: str) -> int:
        return int(((self.used["trip"] == name) & (self.used["item"] == item)).sum())

    def _along(self, name: str, item: str) -> pd.DataFrame:
        return self.rows[(self.rows["trip"] == name) & (self.rows["item"] == item)]

    def present(self, name: str, item: str) -> list[date]:
        """The days on which an item came along, each once."""
        return sorted({d for days in self._along(name, item)["along"] for d in days})

    def slept(self, name: str, item: str) -> int:
        """The nights for which it was there: those between two of a row's days in succession."""
        nights = {d for days in self._along(name, item)["along"] for d in days[:-1]}
        return len(nights)


def where(frame: pd.DataFrame, mask: list[bool]) -> pd.DataFrame:
    """The rows for which the mask holds, also where there are none."""
    return frame.loc[pd.Series(mask, index=frame.index, dtype=bool)]


def past_rows(book: Book) -> pd.DataFrame:
    """The carried rows of trips that are no plans."""
    return where(book.rows, [not book.trips[t]["plan"] for t in book.rows["trip"]])


def known_mg(rows: pd.DataFrame, laden: bool) -> int | None:
    """Milligrams of what is weighed; None where none of it is, or nothing is on me at all."""
    weighed = [int(mg) for mg in rows["mg"] if mg is not None and not pd.isna(mg)]
    if not laden or (len(rows) and not weighed):
        return None
    return sum(weighed)


def grams(mg: int | None) -> float | None:
    return None if mg is None else mg / 1000


def sums(rows: pd.DataFrame, laden: bool) -> dict[str, int | None]:
    on_me = rows[rows["on_me"].astype(bool)]
    return {kind: known_mg(on_me[on_me["kind"] == kind], laden) for kind in KINDS}


def season(start_on: date, latitude: float | None) -> str:
    later = start_on + pd.DateOffset(months=1)  # December opens the meteorological year
    names = ["winter", "spring", "summer", "autumn"]
    name = names[(later.month - 1) // 3]
    if latitude is not None and latitude < 0:
        name = {"winter": "summer", "summer": "winter", "spring": "autumn"}.get(name, "spring")
    return f"{later.year} {name}"


def weight_class(base: int | None, unweighed: int, nights: int, unmarked: bool) -> str | None:
    if base is None or unweighed or not nights or unmarked:
        return None
    return next((name for lb, name in CLASSES if base < lb * LB_MG), "traditional")


def is_unmarked(book: Book, on_me: Any) -> bool:
    """Whether food, fuel or worn clothes count as base weight, by the words of a list."""
    things = book.gear.set_index("item")
    rows = [
        SimpleNamespace(
            item=row["item"],
            name=things["name"][row["item"]],
            system=things["system"][row["item"]],
            carried_as=row["kind"],
        )
        for row in on_me.to_dict("records")
    ]
    return bool(unmarked_words(rows))


def nights(book: Book) -> list[Row]:
    """The table of nights."""
    found = []
    for name in sorted(n for n, t in book.trips.items() if not t["plan"]):
        readings = book.temperatures
        readings = readings[(readings["trip"] == name) & (readings["spot"] == "camp")]
        for night in book.nights(name):
            noon = pd.Timestamp(night) + pd.Timedelta(hours=12)
            stamps = pd.to_datetime(readings["read_at"])
            mine = readings[(stamps >= noon) & (stamps < noon + pd.Timedelta(hours=24))]
            small = [t for t in pd.to_datetime(mine["read_at"]) if t.hour < 8 or _is_eight(t)]
            weather = _one(book.weather, trip=name, day=night)
            slept = _one(book.comfort, trip=name, day=night, aspect="sleep")
            low, source = None, None
            if len(mine):
                low, source = min(mine["temperature_c"]), "logger" if small else "logger_part"
            elif weather.get("low_c") is not None:
                low, source = weather["low_c"], "weather"
            found.append(
                {
                    "trip": name,
                    "night": night,
                    "low_c": low,
                    "low_source": source,
                    "normal_low_c": None,
                    "low_anomaly_c": None,
                    "sleep_score": slept.get("score"),
                    "warmth": slept.get("warmth"),
                    "normal_low_sd_c": None,
                    "low_percentile": None,
                    "station": None,
                    "normal_source": None,
                }
            )
    return found


def normals(book: Book) -> list[Row]:
    """The table of normals: these stores know none; those that do have their own tests."""
    return []


def trip_normals(book: Book) -> list[Row]:
    """The table of trips and stations, where no station is known."""
    blank = {"station": None, "name": None, "distance_km": None, "height_difference_m": None}
    return [{"trip": name, **blank, "serves": False} for name in sorted(book.trips)]


def _is_eight(t: pd.Timestamp) -> bool:
    return (t.hour, t.minute, t.second, t.microsecond) == (8, 0, 0, 0)


def _one(frame: pd.DataFrame, **cells: Any) -> Row:
    for column, value in cells.items():
        frame = frame[frame[column] == value]
    return frame.to_dict("records")[0] if len(frame) else {}


def trips(book: Book) -> list[Row]:
    """The table of trips."""
    lows = [n for n in nights(book) if n["low_c"] is not None]
    found = []
    for name, one in sorted(book.trips.items()):
        rows = book.rows[book.rows["trip"] == name]
        on_me = rows[rows["on_me"].astype(bool)]
        laden = len(on_me) > 0
        kinds = sums(rows, laden)
        skin = [kinds[k] for k in KINDS[:3] if kinds[k] is not None]
        items = sorted(set(rows["item"]))
        use = {i: book.use(name, i) for i in items}
        full = book.record(name) in ("full", "all_but") and None not in use.values()
        unused = where(on_me, [use[i] == 0 for i in on_me["item"]])
        held = book.gear.set_index("item")["insurance"]
        insured = where(unused, [bool(held[i]) for i in unused["item"]])
        moved = book.distances[book.distances["trip"] == name]
        climbed = [m for m in moved["ascent_mm"] if m is not None]
        aside = book.set_aside[book.set_aside["trip"] == name]
        count = len(book.nights(name))
        unweighed = len({r["item"] for r in on_me.to_dict("records") if pd.isna(r["mg"])})
        found.append(
            {
                "trip": name,
                "start_on": one["start_on"],
                "end_on": one["end_on"],
                "nights": count,
                "season": season(one["start_on"], one["latitude"]),
                "mode": one["mode"],
                "plan": one["plan"],
                **{f"{kind}_g": grams(kinds[kind]) for kind in KINDS},
                "skin_out_g": grams(sum(skin)) if skin else None,
                "weight_class": weight_class(
                    kinds["base"], unweighed, count, is_unmarked(book, on_me)
                ),
                "unweighed": unweighed,
                "distance_km": sum(moved["distance_mm"]) / 10**6 if len(moved) else None,
                "ascent_m": sum(climbed) / 1000 if climbed else None,
                "coldest_night_c": min(
                    (n["low_c"] for n in lows if n["trip"] == name), default=None
                ),
                "items_carried": len(items),
                "items_used": sum((u or 0) > 0 for u in use.values()) if full else None,
                "unused_g": grams(known_mg(unused, laden)) if full else None,
                "unused_insurance_g": grams(known_mg(insured, laden)) if full else None,
                "failures": int((book.failures["trip"] == name).sum()),
                "set_aside": len(aside[["file", "line"]].drop_duplicates()),
                "title": one["title"],
                "use_record": book.record(name),
                "low_anomaly_c": None,
            }
        )
    return found


def trip_systems(book: Book) -> list[Row]:
    """The table of a trip's systems."""
    found = []
    for (name, system), rows in book.rows.groupby(["trip", "system"], sort=True):
        whole = book.rows[book.rows["trip"] == name]
        kinds = sums(rows, bool(whole["on_me"].any()))
        found.append(
            {
                "trip": name,
                "system": system,
                **{f"{kind}_g": grams(kinds[kind]) for kind in KINDS},
                "items": rows["item"].nunique(),
            }
        )
    return found


def hauled_mg_mm(book: Book, rows: pd.DataFrame) -> int | None:
    """Weight x pieces x distance of the days along, on me."""
    moved = book.distances
    mine = rows[rows["mine"].astype(bool)]
    if not moved["trip"].isin(set(rows["trip"])).any():
        return None
    if len(mine) and not any(not pd.isna(mg) for mg in mine["mg"]):
        return None
    total = 0
    for row in mine.to_dict("records"):
        for day in row["along"] if not pd.isna(row["mg"]) else []:
            there = moved[(moved["trip"] == row["trip"]) & (moved["day"] == day)]
            total += int(row["mg"]) * sum(int(mm) for mm in there["distance_mm"])
    return total


def items(book: Book) -> list[Row]:
    """The table of items."""
    past = past_rows(book)
    found = []
    for item, rows in past.groupby("item", sort=True):
        about = _one(book.gear, item=item)
        weighed = book.weighings[book.weighings["item"] == item].sort_values("weighed_on")
        today = weighed.iloc[-1]["weight_mg"] if len(weighed) else about["weight_mg"]
        names = sorted(set(rows["trip"]))
        use = {t: u for t in names if (u := book.use(t, item)) is not None}
        hauled = hauled_mg_mm(book, rows)
        found.append(
            {
                "item": item,
                "name": about["name"],
                "system": about["system"],
                "carried_as": about["carried_as"],
                "weight_g": grams(today),
                "trips_carried": len(names),
                "trips_logged": len(use),
                "trips_used": sum(u > 0 for u in use.values()),
                "times_used": sum(use.values()),
                "nights_carried": sum(book.slept(t, item) for t in names),
                "hauled_kg_km": None if hauled is None else hauled / 10**12,
                "last_carried_on": max(book.present(t, item)[-1] for t in names),
                "last_used_on": max(
                    (_last_use(book, t, item) for t in use if use[t]), default=None
                ),
                "never_used": bool(use) and not any(use.values()),
                "insurance": about["insurance"],
            }
        )
    return found


def _last_use(book: Book, name: str, item: str) -> date:
    noted = book.used[(book.used["trip"] == name) & (book.used["item"] == item)]
    dated = [r["day"] for r in noted.to_dict("records") if r["times"] > 0 and r["day"] is not None]
    return max(dated) if dated else book.present(name, item)[-1]


def set_aside(book: Book) -> list[Row]:
    """The table of what was set aside."""
    columns = ["file", "line", "column", "value", "problem", "nearest", "raw", "trip"]
    frame = book.set_aside.reindex(columns=columns)
    frame = frame.astype(object).where(frame.notna(), None)
    return frame.sort_values(["file", "line", "column"], kind="stable").to_dict("records")


def trip_days(book: Book) -> list[Row]:
    """A row a day: distance, distance so far, wet, conditions."""
    found = []
    for name in sorted(book.trips):
        moved = book.distances[book.distances["trip"] == name]
        for day in book.days(name):
            today = moved[moved["day"] == day]["distance_mm"]
            so_far = where(moved, [d <= day for d in moved["day"]])["distance_mm"]
            weather = _one(book.weather, trip=name, day=day)
            wet, rain = weather.get("wet"), weather.get("rain_mm")
            if wet is None and rain is not None:
                wet = rain >= 1
            found.append(
                {
                    "trip": name,
                    "day": day,
                    "distance_mm": sum(today) if len(today) else None,
                    "travelled_mm": sum(so_far) if len(moved) else None,
                    "wet": wet,
                    "conditions": weather.get("conditions"),
                }
            )
    return found


def trip_item_use(book: Book) -> list[Row]:
    """A row a trip and item: what is known of its use."""
    found = []
    pairs = sorted(set(zip(book.rows["trip"], book.rows["item"], strict=True)))
    for name, item in pairs:
        use = book.use(name, item)
        found.append(
            {
                "trip": name,
                "item": item,
                "use_record": book.record(name),
                "said_times": book.times(name, item),
                "known": use is not None,
                "used": None if use is None else use > 0,
                "times": use,
                "last_used_on": _last_use(book, name, item) if use else None,
            }
        )
    return found
