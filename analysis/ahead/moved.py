"""What moves on a trip by bike, and which bike drives."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..store.rows import Record
from ..store.settings import Settings

_BODY_KG, _BIKE_KG = 75.0, 25.0
"""Taken where neither settings nor list say; an error in them is in the factor as well, so that it
falls out once days are noted (common practice, no published source)."""
_BIKE_KG_LEAST = 5.0
_HAULED_KG_MOST = 10.0
"""From here on what has no motor and is not the bike itself is another bike, under it a trailer
(common practice, no published source)."""


@dataclass(frozen=True, slots=True)
class Moved:
    """All that moves on a trip, in kg, where ``bike`` drives."""

    loads: Mapping[str, Record]
    body_kg: float
    bike_kg: float
    bike: str

    @classmethod
    def by(cls, bike: str, loads: Mapping[str, Record], settings: Settings) -> "Moved":
        """Of these rows of ``ahead/moved_loads`` by trip."""
        body_kg, bike_kg = settings.body_kg or _BODY_KG, settings.bike_kg or _BIKE_KG
        return cls(loads, body_kg, bike_kg, bike)

    def candidates(self, trip: str) -> frozenset[str]:
        """What may have driven, by a trip's list; empty where it has nothing of the kind."""
        machines = self._machines(trip)
        drives = [each for each in machines if each["drives"]]
        whole = [each for each in drives if each["kg"] is None or _is_a_bike(each)]
        heavy = [each for each in machines if _is_a_bike(each)]
        return frozenset(each["item"] for each in whole or drives or heavy)

    def kg(self, trip: str) -> float:
        """Body, load and vehicle. A list without a bike on it gets one of the usual mass.

        Another bike on the list is ridden by somebody else, or was on another day: nobody hauls it.
        """
        row = self.loads.get(trip)
        if row is None:
            return self.body_kg + self.bike_kg
        machines = self._machines(trip)
        others = [each for each in machines if self._is_another(each)]
        vehicle = (row["vehicle_kg"] or 0.0) - sum(each["kg"] or 0.0 for each in others)
        heaviest = max((each["kg"] or 0.0 for each in machines if each not in others), default=0.0)
        if heaviest < _BIKE_KG_LEAST:
            vehicle += self.bike_kg
        return float(self.body_kg + (row["load_kg"] or 0.0) + vehicle)

    def _machines(self, trip: str) -> Sequence[Record]:
        row = self.loads.get(trip)
        return (row and row["machines"]) or ()

    def _is_another(self, machine: Record) -> bool:
        if machine["item"] == self.bike:
            return False
        return _is_a_bike(machine) and (machine["drives"] or machine["kg"] >= _HAULED_KG_MOST)


def _is_a_bike(machine: Record) -> bool:
    return (machine["kg"] or 0.0) >= _BIKE_KG_LEAST
