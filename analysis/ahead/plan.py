"""The trip ahead: how long, for how many, how far by day, what its list has."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from ..store.rows import Record, Store, ask
from ..store.trip_choice import TripChoice, choose_ahead
from .likeness import like_trips
from .results import DayAhead, LikeDays, LikeTrip, ListedThing, TripAhead
from .unlike import unlike_of


def trips_ahead_of(store: Store, trip: str, today: date) -> tuple[TripAhead, ...]:
    """The trip of that name or, where none is named, every plan not over by ``today``, by start.

    Raises QuestionError, with the nearest name, where there is no trip of that name.
    """
    return tuple(trip_ahead(store, choice) for choice in choose_ahead(store, trip, today))


def trip_ahead(store: Store, choice: TripChoice) -> TripAhead:
    """A plan, or a trip asked as on the day it began: its own rows, and trips over before it."""
    about = ask(store, "ahead/trip_people", trip=choice.trip)[0]
    own = tuple(DayAhead(**row) for row in ask(store, "ahead/own_way", trip=choice.trip))
    ahead = TripAhead(
        choice,
        about["people"],
        about["days"],
        about["nights"],
        own,
        "own",
        like_trips(store, choice),
        tuple(ListedThing(**row) for row in ask(store, "ahead/own_list", trip=choice.trip)),
        unlike_of(store, choice),
        south=about["south"],
    )
    noted = {day.day for day in own if day.distance_km is not None}
    days = _like_days(store, choice, ahead.like)
    usual = _usual_day(days, ahead.like)
    if usual is not None:
        ahead = replace(ahead, like_days=_spread(days, usual[0]))
    if all(day.day in noted for day in own):
        return ahead
    if usual is None:
        return ahead if noted else replace(ahead, way_from="none")
    # Beside noted days one whose way of travelling is not known could be anything.
    open_days = {day.day for day in own if not noted or day.mode not in (None, "mixed")} - noted
    if not open_days:
        return ahead
    km, ascent_m = usual
    way = tuple(
        replace(day, distance_km=km, ascent_m=ascent_m, from_like=True)
        if day.day in open_days
        else day
        for day in own
    )
    return replace(ahead, way=way, way_from="partly" if noted else "like")


def _spread(days: Sequence[Record], middle_km: float) -> LikeDays:
    known = [day for day in days if day["distance_km"] is not None]
    far = [day["distance_km"] for day in known]
    trips = len({day["trip"] for day in known})
    return LikeDays(min(far), middle_km, max(far), len(far), trips)


def _like_days(store: Store, choice: TripChoice, like: Sequence[LikeTrip]) -> list[Record]:
    trips = [each.trip for each in like]
    return list(ask(store, "ahead/like_days", trips=trips, mode=choice.mode)) if like else []


def _usual_day(
    days: Sequence[Record], like: Sequence[LikeTrip]
) -> tuple[float, float | None] | None:
    """km and m of climbing of the middle day of like trips, None where none of them has any.

    A trip counts by how like it is, however many days it has.
    """
    likeness = {each.trip: each.likeness for each in like}
    km = _middle(days, "distance_km", likeness)
    return None if km is None else (km, _middle(days, "ascent_m", likeness))


def _middle(days: Sequence[Record], column: str, likeness: dict[str, float]) -> float | None:
    """The weighted median of a column where it is known; halfway where two share the middle."""
    known = sorted((day[column], day["trip"]) for day in days if day[column] is not None)
    if not known:
        return None
    days_of = Counter(trip for _, trip in known)
    weights = [likeness[trip] / days_of[trip] for _, trip in known]
    half, reached = sum(weights) / 2, 0.0
    for place, weight in enumerate(weights):
        reached += weight
        if reached > half * (1 + 1e-9):
            break
        if reached > half * (1 - 1e-9):
            return float(known[place][0] + known[place + 1][0]) / 2
    return float(known[place][0])
