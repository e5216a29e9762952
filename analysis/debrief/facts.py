"""Everything that the debrief of one trip shows, as data.

Tables are the answers to the questions of their names, row by row; what a row of them holds stands
in `sql`.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from ..ahead.after import Aftermath, after_trip
from ..ahead.scores import AmountScore, ColdScore, amount_scores, cold_score
from ..climate.normals import TripContext, trip_context
from ..cold.camps import camps_colder_c
from ..store.rows import Record, Store, ask
from ..store.trip_choice import choose_past_trip
from ..wear.chores import Chore
from ..wear.upkeep import upkeep
from .changes import Changes, changes_since_previous
from .load import NeverOut, Weight, by_bag
from .nights import TripNight, trip_nights
from .packed import stayed_packed

TRACE_POINTS = 1500
_LOGGER = ("logger", "logger_part")


@dataclass(frozen=True, slots=True)
class TripFacts:
    """The trip itself. ``set_aside`` counts its records that could not be loaded.

    ``use_record`` is full, all_but, partial or none. Distance and ascent are sums of what is known,
    missing where nothing is. ``note`` is the owner's own. ``people``: for how many the food was.
    """

    trip: str
    title: str
    start_on: date
    end_on: date
    nights: int
    mode: str | None
    place: str | None
    distance_km: float | None
    ascent_m: float | None
    use_record: str
    items_carried: int
    set_aside: int
    note: str | None = None
    people: int = 1


@dataclass(frozen=True, slots=True)
class Coverage:
    """Of how many days, nights or items a kind of evidence is logged, and of how many it could."""

    kind: str
    logged: int
    expected: int


@dataclass(frozen=True, slots=True)
class Debrief:
    """One trip looked back on. Tables without a row stay empty; what cannot be told is None.

    ``gear``: `trip_gear`, what came along. ``by_system``: `system_weights`. ``by_bag``: see
    `load.by_bag`. ``trace``: `temperature_trace`, at most TRACE_POINTS readings. ``moves``,
    ``weather``, ``comfort``, ``failures`` and ``wished``: `trip_moves` and so on; ``thing_notes``:
    what is noted of carrying and using things; ``gone_early``: clothes and sleep gear that went
    before the trip was over. ``aftermath``: the trip beside its forecast;
    ``scores``: how forecasts of amounts held over all trips over by then; ``cold_score``: those of
    cold, which take longer, on the latest trip alone. ``latest``: whether no trip that is no plan
    began later. ``chores``: of the latest trip those of all that is owned, of
    another those that still wait, as of ``today``, of what came along on it. ``camps_colder_c``:
    how much colder than the normals camps before it were on average, where that is worth a
    sentence.
    """

    trip: TripFacts
    weight: Weight
    by_system: Sequence[Record]
    by_bag: Sequence[Record]
    gear: Sequence[Record]
    never_out: NeverOut | None
    brought_home: Sequence[Record]
    nights: Sequence[TripNight]
    trace: Sequence[Record]
    moves: Sequence[Record]
    weather: Sequence[Record]
    comfort: Sequence[Record]
    failures: Sequence[Record]
    wished: Sequence[Record]
    thing_notes: Sequence[Record]
    changes: Changes | None
    chores: tuple[Chore, ...]
    evidence: tuple[Coverage, ...]
    context: TripContext
    aftermath: Aftermath
    scores: tuple[AmountScore, ...]
    cold_score: ColdScore | None
    latest: bool
    today: date
    camps_colder_c: float | None = None
    gone_early: Sequence[Record] = ()

    @property
    def far_noted(self) -> Coverage | None:
        """Of how many days the distance is known, where of some it is not; else None."""
        part = (e for e in self.evidence if e.kind == "distances" and e.logged < e.expected)
        return next(part, None)

    @property
    def insurance(self) -> list[Record]:
        """What was carried in the hope of not needing it, of ``gear``."""
        return [g for g in self.gear if g["insurance"]]

    @property
    def coldest(self) -> TripNight | None:
        """The night with the lowest low, the first of equals; None where no low is known."""
        lows = [(n.low_c, n.night, n) for n in self.nights if n.low_c is not None]
        return min(lows)[2] if lows else None

    @property
    def hours(self) -> float | None:
        """Time on the move, of the days of which it is known; None where there is none."""
        known = [m["hours"] for m in self.moves if m["hours"] is not None]
        # Rounded to be free of the last digits in which float sums differ.
        return round(math.fsum(known), 6) if known else None

    @property
    def not_logged(self) -> tuple[str, ...]:
        """The kinds of evidence of which there is none."""
        return tuple(e.kind for e in self.evidence if not e.logged)


def debrief(store: Store, trip: str | None, today: date) -> Debrief:
    """The debrief of one trip; where ``trip`` is None, of the latest that is no plan.

    ``today`` is the day from which checks fall due. Raises QuestionError where there is no such
    trip, or where it is a plan.
    """
    chosen = choose_past_trip(store, trip)
    name = chosen.trip

    def rows(question: str, **more: object) -> list[dict[str, object]]:
        return ask(store, question, trip=name, **more)

    facts = ask(store, "debrief/trip_facts", trip=name)[0]
    gear = rows("debrief/trip_gear")
    brought_home = rows("debrief/brought_home")
    nights = trip_nights(store, name)
    failures = rows("debrief/trip_failures")
    latest = name == choose_past_trip(store, None).trip
    along = {str(row["item"]) for row in (*gear, *failures)}
    lost = ask(store, "debrief/carried_set_aside", trip=name)[0]["records"]
    days = ask(store, "debrief/trip_evidence", trip=name)[0]
    sums = ("base_g", "worn_g", "consumable_g", "vehicle_g", "skin_out_g", "weight_class")
    return Debrief(
        trip=TripFacts(**{field: facts[field] for field in TripFacts.__slots__}),
        weight=Weight(
            **{field: facts[field] for field in sums},
            unweighed=tuple(str(g["name"]) for g in gear if g["unweighed"]),
            carried_set_aside=lost,
        ),
        by_system=rows("debrief/system_weights"),
        by_bag=by_bag(rows("debrief/bag_rows")),
        gear=gear,
        never_out=stayed_packed(store, name, gear, today, lost),
        brought_home=brought_home,
        nights=nights,
        trace=rows("debrief/temperature_trace", points=TRACE_POINTS),
        moves=rows("debrief/trip_moves"),
        weather=rows("debrief/trip_weather"),
        comfort=rows("debrief/trip_comfort"),
        failures=failures,
        wished=rows("debrief/trip_wished"),
        thing_notes=rows("debrief/thing_notes"),
        gone_early=rows("debrief/gone_early"),
        changes=changes_since_previous(store, name, any(g["on_me"] for g in gear)),
        chores=upkeep(store, today, along=None if latest else along),
        evidence=_evidence(facts, gear, nights, days),
        context=trip_context(store, name),
        aftermath=after_trip(store, chosen),
        scores=amount_scores(store, today),
        cold_score=cold_score(store, today) if latest else None,
        latest=latest,
        camps_colder_c=camps_colder_c(store, chosen.start_on),
        today=today,
    )


def _evidence(
    facts: Record, gear: Sequence[Record], nights: Sequence[TripNight], days: Mapping[str, int]
) -> tuple[Coverage, ...]:
    """How much of what could be logged was, kind by kind; only kinds that the trip could have."""
    on_me = [g for g in gear if g["on_me"]]
    food = [g for g in gear if g["consumable_rows"]]
    length, stay = facts["nights"] + 1, len(nights)
    counts = (
        Coverage("carried", len(gear), max(len(gear), 1)),
        Coverage("weights", sum(not g["unweighed"] for g in on_me), len(on_me)),
        Coverage("use", sum(g["known"] for g in gear), len(gear)),
        Coverage("brought_home", sum(g["weighed_home_rows"] > 0 for g in food), len(food)),
        Coverage("distances", days["distance_days"], length),
        Coverage("ascent", days["ascent_days"], length),
        Coverage("hours", days["hours_days"], length),
        Coverage("battery", days["battery_days"], length if facts["mode"] == "ebike" else 0),
        Coverage("weather", days["weather_days"], length),
        Coverage("temperatures", sum(n.low_source in _LOGGER for n in nights), stay),
        Coverage("lows", sum(n.low_c is not None for n in nights), stay),
        Coverage("sleep", sum(n.sleep_score is not None for n in nights), stay),
        Coverage("warmth", sum(n.warmth is not None for n in nights), stay),
        Coverage("ratings", sum(n.rated_low_c is not None for n in nights), stay),
    )
    return tuple(e for e in counts if e.expected)
