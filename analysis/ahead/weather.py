"""What the weather decides: how likely the trip brings what things are meant for."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from ..climate.outlook import Outlook, outlook_of_trip
from ..cold.camps import CampsOff
from ..store.rows import Store, ask
from ..store.trip_choice import TripChoice
from ..usage.conditions import Meaning, Seen
from .packing import PackedThing
from .results import MayBeMissing, TripAhead

_WARMEST_C = 60.0
"""No outlook is asked about a warmer low."""
_ANY_FORECAST = ("shelter", "sleep", "rain")
ConditionPart = tuple[str, float | None]
"""A condition and, of cold, the night low in °C that is meant."""


@dataclass(frozen=True, slots=True)
class ConditionAhead:
    """A condition that things are meant for, and the chance that the trip brings it.

    ``cold_below_c``: of cold, the night low that is meant. The chance of cold is by the climate
    normals where they serve, else like all others by the like trips of which it is ``known``, on
    ``met`` of which it came about: trips at other times of the year say nothing of it. It is
    missing where nobody can tell; also where it is ``rare``, farther from what is usual than
    normals can tell.
    """

    condition: str
    cold_below_c: float | None
    chance: float | None
    source: Literal["normals", "log"] | None
    known: int = 0
    met: int = 0
    rare: bool = False


@dataclass(frozen=True, slots=True)
class MeantFor:
    """Things of a list that are meant for the same, and how likely each condition of it is.

    ``missing``: names of what is meant for it and may be missing from the list.
    """

    conditions: tuple[ConditionAhead, ...]
    names: tuple[str, ...]
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RainBefore:
    """Of ``trips`` like trips it is ``known`` of some whether it rained; on ``met`` it did.

    It did where one day is noted as wet, it did not where every day is noted as dry. ``partly``: on
    so many others some day is noted as dry and some are not noted.
    """

    trips: int = 0
    known: int = 0
    met: int = 0
    partly: int = 0


def rain_before(store: Store, ahead: TripAhead) -> RainBefore:
    """On how many like trips it rained, as far as their days say so."""
    rows = ask(store, "ahead/wet_before", trips=[trip.trip for trip in ahead.like])
    met = sum(row["wet_days"] > 0 for row in rows)
    dry = sum(row["wet_known"] == row["days"] and not row["wet_days"] for row in rows)
    some = sum(0 < row["wet_known"] < row["days"] and not row["wet_days"] for row in rows)
    return RainBefore(len(rows), met + dry, met, some)


def meant_for_weather(
    store: Store,
    ahead: TripAhead,
    things: Iterable[PackedThing],
    camps: CampsOff | None = None,
    missing: Iterable[MayBeMissing] = (),
) -> tuple[MeantFor, ...]:
    """What of a list is meant for certain weather, by what it is meant for: the likeliest first.

    What may be ``missing`` from it keeps its place here. Shelter, sleep and rain gear is not among
    it: no forecast makes a list do without them. The normals are taken to be as much colder as
    ``camps`` were.
    """
    by_meaning: dict[Meaning, dict[str, None]] = {}
    for each in things:
        if each.meaning.words and each.thing.system not in _ANY_FORECAST:
            by_meaning.setdefault(each.meaning, {})[each.thing.name] = None
    lacking: dict[Meaning, list[str]] = {}
    for one in missing:
        if one.meaning.words and one.system not in _ANY_FORECAST:
            lacking.setdefault(one.meaning, []).append(one.what)
    meanings = list(dict.fromkeys((*by_meaning, *lacking)))
    every = [part for meaning in meanings for part in parts_of(meaning)]
    known = condition_chances(store, ahead, every, camps)
    groups = [
        MeantFor(
            tuple(known[part] for part in parts_of(meaning)),
            tuple(by_meaning.get(meaning, ())),
            tuple(lacking.get(meaning, ())),
        )
        for meaning in meanings
    ]
    return tuple(sorted(groups, key=_order))


def condition_chances(
    store: Store, ahead: TripAhead, parts: Iterable[ConditionPart], camps: CampsOff | None = None
) -> dict[ConditionPart, ConditionAhead]:
    """How likely the trip brings each of these conditions, as `meant_for_weather` tells it."""
    choice, colder_c = ahead.trip, -camps.taken_c if camps is not None else 0.0
    rows = ask(store, "ahead/conditions_seen", trips=[trip.trip for trip in ahead.like])
    seen = {(r["condition"], r["cold_below_c"]): Seen(r["known"], r["met"]) for r in rows}
    return {
        part: _condition(store, choice, *part, seen.get(part, Seen(0, 0)), colder_c)
        for part in dict.fromkeys(parts)
    }


def parts_of(meaning: Meaning) -> list[ConditionPart]:
    """The conditions of a meaning, each with the low that is meant where it is cold."""
    return [
        (word, meaning.cold_below_c if word == "cold" else None) for word in sorted(meaning.words)
    ]


def _condition(
    store: Store,
    choice: TripChoice,
    word: str,
    below_c: float | None,
    seen: Seen,
    colder_c: float,
) -> ConditionAhead:
    if word == "cold" and below_c is not None and choice.end_on > choice.start_on:
        # A night is as likely to fall below a low as one that is 2 °C milder below 2 °C more.
        outlook = outlook_of_trip(store, choice.trip, min(below_c + colder_c, _WARMEST_C))
        if isinstance(outlook, Outlook) and outlook.rare:
            return ConditionAhead(word, below_c, None, "normals", rare=True)
        if isinstance(outlook, Outlook) and outlook.p_any is not None:
            return ConditionAhead(word, below_c, outlook.p_any.value, "normals")
    if not seen.known:
        return ConditionAhead(word, below_c, None, None)
    return ConditionAhead(word, below_c, seen.chance, "log", seen.known, seen.met)


def _order(group: MeantFor) -> tuple[float, tuple[str, ...]]:
    chances = [each.chance for each in group.conditions if each.chance is not None]
    return -max(chances, default=0.0), group.names or group.missing
