"""How the demo's days and nights felt: comfort scores, warmth votes and short notes."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import cycle, groupby
from operator import itemgetter

from . import truth
from .dice import Dice
from .packing import CarriedRow, sleep_set
from .sky import DrawnDay, Night
from .tables import table_rows
from .trips import Trip

USUAL_DAY_KM = {row["mode"]: float(row["usual_day_km"]) for row in table_rows("modes")}
SHARE_NOTED: dict[str, float] = {"camp": 0.85, "moving": 0.65}
COLD_IN_SCORE = 0.7
"""Correlation of a night's luck in warmth with its luck in comfort: who shivers sleeps badly."""


@dataclass(frozen=True, slots=True)
class Vote:
    """One row of comfort.csv; ``warmth`` is None for anything but sleep."""

    day: date
    aspect: str
    score: int
    warmth: int | None = None
    note: str = ""


def _score(value: float) -> int:
    return min(5, max(1, int(value + 0.5)))


def _warmth(margin: float) -> int:
    """The vote at that many spreads above even odds; below 0 is too cold."""
    for limit, vote in ((-1.0, -3), (0.0, -2), (1.0, -1), (3.3, 0), (4.6, 1)):
        if margin < limit:
            return vote
    return 2


def _helped(aspect: str, rows: list[CarriedRow], day: date) -> float:
    along = {row.item for row in rows if row.along(day)}
    return sum(
        points
        for (of, item), points in truth.COMFORT_EFFECT.items()
        if of == aspect and item in along
    )


class Feeling:
    """Votes trip by trip, and remembers its notes so that none is written twice in a row."""

    def __init__(self) -> None:
        self._notes: dict[str, Iterator[str]] = {
            mood: cycle([row["note"] for row in rows])
            for mood, rows in groupby(table_rows("night_notes"), itemgetter("mood"))
        }

    def _note(self, trip: Trip, night: date, vote: tuple[int, int], wet: bool) -> str:
        dice = Dice(trip.trip, "note", night.isoformat())
        score, warmth = vote
        if warmth <= -2:
            return next(self._notes["cold"]) if dice.chance(0.6) else ""
        if score <= 2 and wet:
            return next(self._notes["wet"])
        return next(self._notes["fine"]) if score == 5 and dice.chance(0.45) else ""

    def _nights(
        self, trip: Trip, rows: list[CarriedRow], days: list[DrawnDay], nights: list[Night]
    ) -> list[Vote]:
        limit = truth.COLD_LIMIT
        bedding = sleep_set(rows)
        shared_c = Dice(trip.trip, "warmth").normal(0, limit.trip_spread_c)
        mood = Dice(trip.trip, "mood", "sleep").normal(0, truth.TRIP_SD_POINTS)
        votes = []
        for day, night in zip(days, nights, strict=False):
            dice = Dice(trip.trip, "sleep", night.day.isoformat())
            luck = dice.normal()
            even_odds_c = limit.even_odds_c(bedding) + shared_c
            warmth = _warmth((night.slept_c - even_odds_c) / limit.spread_c + luck)
            milder_c = night.slept_c - limit.rated_low_c[bedding] - truth.SLEEP_MARGIN_C
            value = truth.COMFORT_MEAN["sleep"] + mood + truth.SLEEP_POINTS_PER_C * milder_c
            value += truth.WET_POINTS["sleep"] * day.wet + _helped("sleep", rows, night.day)
            luck = COLD_IN_SCORE * luck + math.sqrt(1 - COLD_IN_SCORE**2) * dice.normal()
            score = _score(value + truth.NIGHT_SD_POINTS * luck)
            note = self._note(trip, night.day, (score, warmth), day.wet)
            votes.append(Vote(night.day, "sleep", score, warmth, note))
        return votes

    def votes(
        self, trip: Trip, rows: list[CarriedRow], days: list[DrawnDay], nights: list[Night]
    ) -> list[Vote]:
        """The comfort rows of a trip in order of day; none where nothing was written down."""
        if trip.use_record == "none":
            return []
        votes = self._nights(trip, rows, days, nights) if nights else []
        for aspect in ("moving", "camp", "fun"):
            votes += _daytime(trip, rows, days, aspect)
        order = ("moving", "camp", "sleep", "fun")
        return sorted(votes, key=lambda vote: (vote.day, order.index(vote.aspect)))


def _noted(trip: Trip, day: date, aspect: str, km: float, dice: Dice) -> bool:
    """Whether the day got a vote: no camp on the last day, no moving on a rest day."""
    last = day == trip.end_on
    if aspect == "fun":
        return last
    if (aspect == "camp" and last) or (aspect == "moving" and km == 0):
        return False
    return dice.chance(SHARE_NOTED[aspect])


def _daytime(trip: Trip, rows: list[CarriedRow], days: list[DrawnDay], aspect: str) -> list[Vote]:
    mood = Dice(trip.trip, "mood", aspect).normal(0, truth.TRIP_SD_POINTS)
    votes = []
    for day, km in zip(days, trip.km, strict=True):
        dice = Dice(trip.trip, aspect, day.day.isoformat())
        if not _noted(trip, day.day, aspect, km, dice):
            continue
        value = truth.COMFORT_MEAN[aspect] + mood + _helped(aspect, rows, day.day)
        value += truth.WET_POINTS[aspect] * day.wet
        if aspect == "moving":
            value += truth.MOVING_POINTS_PER_USUAL_DAY * (km / USUAL_DAY_KM[trip.mode] - 1)
        votes.append(Vote(day.day, aspect, _score(value + dice.normal(0, truth.NIGHT_SD_POINTS))))
    return votes
