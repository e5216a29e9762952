"""The tables of what a coming trip takes."""

from datetime import date
from typing import TYPE_CHECKING

from ..catalogue.entry import Entry, Remarked, fields_of
from ..display.cautions import LIST_CARE, NEEDS_CARE

if TYPE_CHECKING:
    from ..store.rows import Store
    from .results import Need


def needs_rows(store: "Store", today: date, trip: str = "") -> Remarked:
    """A row a consumable, system or bike of each trip ahead, sorted by trip and system."""
    from . import needs_words
    from .energy import battery_ahead
    from .needs import consumption_of
    from .plan import trips_ahead_of
    from .uncounted import uncounted_of, uncounted_words

    rows: list[dict[str, object]] = []
    remarks: list[str] = []
    for ahead in sorted(trips_ahead_of(store, trip, today), key=lambda each: each.trip.trip):
        consumption = consumption_of(store, ahead)
        bikes = battery_ahead(store, ahead)
        batteries = [each.need for each in bikes if each.need is not None]
        needs = sorted((*consumption.needs, *batteries), key=lambda need: need.system)
        rows += [{"trip": ahead.trip.trip, **_cells(need)} for need in needs]
        remarks += needs_words.remarks(ahead, consumption, batteries)
        remarks += uncounted_words(uncounted_of(store, ahead, bikes), bikes)
    return Remarked(rows, tuple(dict.fromkeys(remarks)))


def _cells(need: "Need") -> dict[str, object]:
    """What the record cannot carry is missing: amounts of which only a least is known, shares of
    trips of which there was none."""
    has_range, has_share = need.basis != "at_least", need.basis in ("like", "practice")
    return {
        **fields_of(need, "system", "item", "unit", "days", "basis"),
        "expected": need.amount.value if has_range else None,
        "low": need.amount.low if has_range else None,
        "high": need.amount.high if has_range else None,
        "take_for_9_in_10": need.take_for_9_in_10 if has_share else None,
        "at_least": need.at_least,
        "on_list": need.on_list,
        "chance_enough": need.chance_enough if has_share else None,
        **fields_of(need, "trips", "used_up", "prior_share"),
    }


def forgotten_rows(store: "Store", today: date, trip: str = "") -> Remarked:
    """A row a thing that may be missing, by trip and rank, and what to know of the lists."""
    from ..display.words import Display
    from . import missing_words
    from .forgotten import forgotten_of
    from .plan import trips_ahead_of
    from .unlike import unlike_sentence

    rows, remarks = [], []
    for ahead in sorted(trips_ahead_of(store, trip, today), key=lambda one: one.trip.trip):
        about = fields_of(ahead.trip, "trip", "title")
        if not ahead.listed:
            remarks.append(missing_words.NOTHING_LISTED.format(**about))
        elif ahead.unlike is not None:
            told = unlike_sentence(ahead.unlike, Display())
            remarks.append(f"“{ahead.trip.title}”: {told}")
        elif not any(like.listed for like in ahead.like):
            remarks.append(missing_words.NO_LIKE_TRIP.format(**about))
        rows += [
            {
                "trip": ahead.trip.trip,
                **fields_of(one, "rank", "item", "what", "reason", "p_along", "p_needed"),
                **fields_of(one, "expected_regret", "why"),
            }
            for one in forgotten_of(store, ahead)
        ]
    return Remarked(rows, tuple(remarks))


ENTRIES = (
    Entry(
        "trip_needs",
        room="ahead",
        grain="consumable, system with several of them, or bike with a battery, of a trip ahead",
        sorted_by=2,
        rows=needs_rows,
        options=("trip", "today"),
        caution=NEEDS_CARE,
    ),
    Entry(
        "forgotten",
        room="ahead",
        grain="thing that may be missing from the list of a trip ahead",
        sorted_by=2,
        rows=forgotten_rows,
        options=("trip", "today"),
        caution=LIST_CARE,
    ),
)
