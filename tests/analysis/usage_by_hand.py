"""Chances and uses once more, in pandas and day by day, from what the words mean."""

from collections import defaultdict
from datetime import date
from typing import Any

import marts_by_hand
import pandas as pd
from marts_by_hand import Book
from store_drawing import Row
from tarebook.analysis.store.scope import Scope


class Season:
    """A logbook's past trips within a scope, and what is known of their days and nights."""

    def __init__(self, book: Book, scope: Scope) -> None:
        self.book = book
        self.gear = {g["item"]: g for g in book.gear.to_dict("records")}
        self.trips = [
            name
            for name, trip in sorted(book.trips.items())
            if not trip["plan"]
            and (scope.since is None or trip["start_on"] >= scope.since)
            and (scope.until is None or trip["start_on"] <= scope.until)
            and scope.mode in (None, trip.get("mode"))
            and scope.season in (None, marts_by_hand.season(trip["start_on"], trip.get("latitude")))
        ]
        self.lows = {(n["trip"], n["night"]): n["low_c"] for n in marts_by_hand.nights(book)}
        self.weather = {(d["trip"], d["day"]): d for d in marts_by_hand.trip_days(book)}

    def came_about(
        self,
        name: str,
        words: list[str],
        below_c: float | None,
        days: list[date],
        nights: list[date],
    ) -> bool | None:
        """Whether any of the conditions did; None where it cannot be told."""
        known: list[bool | None] = []
        for word in words:
            if word == "cold":
                if below_c is None:
                    known.append(None)
                    continue
                lows = [self.lows[name, night] for night in nights]
                known += [None if low is None else low < below_c for low in lows]
            elif word == "wet":
                known += [self.weather[name, day]["wet"] for day in days]
            else:
                said = [self.weather[name, day]["conditions"] for day in days]
                known += [None if words_ is None else word in words_ for words_ in said]
        if any(shown is True for shown in known):
            return True
        return None if any(shown is None for shown in known) else False

    def chance(self, name: str, item: str) -> bool | None:
        """Whether an item had its chance on a trip that it came along on."""
        meant = self.gear[item]["meant_for"]
        if "any" in meant:
            return True
        rows = self.book.rows
        rows = rows[(rows["trip"] == name) & (rows["item"] == item)]
        nights = sorted({night for days in rows["along"] for night in days[:-1]})
        days = self.book.present(name, item)
        return self.came_about(name, meant, self.gear[item]["cold_below_c"], days, nights)

    def along(self, item: str) -> list[str]:
        """The trips that an item came along on."""
        rows = self.book.rows
        carried = set(rows[rows["item"] == item]["trip"])
        return [name for name in self.trips if name in carried]

    def missed(self, item: str) -> list[str]:
        """The trips on which it stayed at home and was missed."""
        wished = self.book.wished
        asked = set(wished[wished["item"] == item]["trip"])
        return [name for name in self.trips if name in asked and name not in self.along(item)]

    def hauled(self, item: str, trips: list[str]) -> int | None:
        """Milligram millimetres hauled on some trips."""
        rows = self.book.rows
        rows = rows[(rows["item"] == item) & rows["trip"].isin(trips)]
        return marts_by_hand.hauled_mg_mm(self.book, rows)

    def counts(self) -> list[Row]:
        """The answer to the question of usage counts."""
        found = []
        for item in sorted(self.gear):
            trips, missed = self.along(item), self.missed(item)
            if not trips and not missed:
                continue
            use = {t: u for t in trips if (u := self.book.use(t, item)) is not None}
            chance = {t: self.chance(t, item) for t in trips}
            had = [t for t in use if chance[t]]
            times = sum(use.values())
            hauled, known = self.hauled(item, trips), self.hauled(item, list(use))
            last = [marts_by_hand._last_use(self.book, t, item) for t in use if use[t]]
            found.append(
                {
                    "item": item,
                    "trips_carried": len(trips),
                    "trips_logged": len(use),
                    "chances": len(had) + len(missed),
                    "chances_used": sum(use[t] > 0 for t in had) + len(missed),
                    "no_chance": sum(chance[t] is False for t in use),
                    "trips_used": sum(u > 0 for u in use.values()),
                    "times_used": times,
                    "wished": len(missed),
                    "last_used_on": max(last, default=None),
                    "hauled_kg_km": None if hauled is None else hauled / 10**12,
                    **self.range(sorted({*use, *missed})),
                    "kg_km_per_use": None if known is None or not times else known / 10**12 / times,
                }
            )
        return found

    def range(self, trips: list[str]) -> Row:
        """Months, modes, lengths and lows of some trips."""
        months = {day.month for t in trips for day in self.book.days(t)}
        lows = [low for (t, _), low in self.lows.items() if t in trips and low is not None]
        modes = {self.book.trips[t].get("mode") for t in trips} - {None}
        return {
            "months": sum(1 << (month - 1) for month in months),
            "modes": sorted(modes),
            "most_nights": max((len(self.book.nights(t)) for t in trips), default=None),
            "lowest_c": min(lows, default=None),
        }

    def meant(self) -> dict[tuple[frozenset[str], float | None], tuple[int, ...]]:
        """Trips of which it is known and that met it: all, without cold, without wet and cold."""
        found: dict[Any, tuple[int, ...]] = {}
        for g in self.gear.values():
            words = list(dict.fromkeys(g["meant_for"]))
            if "any" in words:
                continue
            key = frozenset(words), g["cold_below_c"] if "cold" in words else None
            counts: list[int] = []
            for less in ((), ("cold",), ("wet", "cold")):
                kept = [w for w in words if w not in less]
                told = [
                    self.came_about(
                        t, kept, g["cold_below_c"], self.book.days(t), self.book.nights(t)
                    )
                    for t in self.trips
                ]
                counts += [sum(x is not None for x in told), sum(x is True for x in told)]
            found[key] = tuple(counts)
        return found

    def base_loads(self) -> list[Row]:
        """Usual pieces and milligrams as base on me at the start."""
        loads: dict[str, list[tuple[int, int | None]]] = defaultdict(list)
        rows = self.book.rows
        quantity = self.book.carried["quantity"].tolist()
        rows = rows.assign(quantity=quantity) if len(rows) else rows.assign(quantity=[])
        rows = rows[rows["trip"].isin(self.trips) & rows["on_me"].astype(bool)]
        rows = rows[rows["kind"] == "base"]
        for (_, item), part in rows.groupby(["trip", "item"]):
            whole = not any(pd.isna(mg) for mg in part["mg"])
            loads[item].append(
                (int(part["quantity"].sum()), int(part["mg"].sum()) if whole else None)
            )

        def lower_median(values: list[int]) -> int | None:
            return sorted(values)[(len(values) - 1) // 2] if values else None

        return [
            {
                "item": item,
                "trips_base": len(found),
                "pieces": lower_median([pieces for pieces, _ in found]),
                "mg": lower_median([mg for _, mg in found if mg is not None]),
            }
            for item, found in sorted(loads.items())
        ]

    def served(self) -> dict[tuple[str, str], set[str]]:
        """The trips on which an item served another system."""
        found: dict[tuple[str, str], set[str]] = defaultdict(set)
        for row in self.book.used.to_dict("records"):
            other = row["used_for"]
            if (
                row["trip"] in self.trips
                and row["times"]
                and other not in (None, self.gear[row["item"]]["system"])
            ):
                found[row["item"], other].add(row["trip"])
        return found

    def credits(self) -> dict[tuple[str, str], float]:
        """How many of the services of the second were the first one's work."""
        pool = [i for i in self.gear if self.along(i) and not self.gear[i]["insurance"]]
        found: dict[tuple[str, str], float] = defaultdict(float)
        for (item, system), trips in self.served().items():
            for name in trips:
                idle = [
                    i
                    for i in pool
                    if self.gear[i]["system"] == system
                    and (name not in self.along(i) or self.book.use(name, i) == 0)
                ]
                for other in idle:
                    found[other, item] += 1 / len(idle)
        return dict(found)
