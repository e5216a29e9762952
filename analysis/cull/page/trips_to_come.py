"""Trips to come in words: which they are, and whether normals or the log tell of their cold."""

from collections.abc import Sequence

from ...display.thing_names import in_marks, listed
from ...display.words import days, listing
from ...store.trip_choice import TripChoice
from ...usage.cold_odds import TripsAhead
from ...usage.conditions import TripKind

_CAMPS = " and how much colder your camps were,"
_LOG = (
    "How likely a wet or cold trip is comes from your log: of the trips looked back on, the share "
    "that was, where it is known."
)
_BED = "a mat and a shelter"
"""Beside what keeps warm on cold nights: without them it does not."""


def coming_lines(ahead: TripsAhead | None) -> tuple[str, ...]:
    """Return what lies ahead, where it was said."""
    if ahead is None or not ahead.served:
        return ()
    dated = [f"{in_marks(t.title)}, {days(t.start_on, t.end_on)}" for t in ahead.served]
    camps = _CAMPS if ahead.colder else ""
    return (f"Cold nights to come by the climate normals{camps} for {'; '.join(dated)}",)


def coming_notices(ahead: TripsAhead | None) -> tuple[str, ...]:
    """Return what to know of trips of whose nights no normals tell."""
    if ahead is None or not ahead.unserved:
        return ()
    instead = "the other trips tell of cold" if ahead.served else "your log tells of cold instead"
    return (
        f"No normals tell of the nights of {_names(ahead.unserved)}: {instead}. `tarebook normals` "
        "lists what is at hand and how far it is.",
    )


def for_weather(kind: TripKind, names: Sequence[str]) -> str:
    """Return what to see to for a kind of trip, by name; blank where there is nothing."""
    if kind != "cold":
        return listed(names) if names else ""
    return f"{listed(names)}, and {_BED}" if names else _BED


def weather_source(ahead: TripsAhead | None) -> str:
    """Return where the chance of a wet or cold trip comes from."""
    if ahead is None or not ahead.served:
        return _LOG
    many = ", each as likely to be the next" if len(ahead.served) > 1 else ""
    camps = _CAMPS if ahead.colder else ""
    return (
        f"How likely cold nights are comes from the climate normals{camps} "
        f"for {_names(ahead.served)}{many}: they say what is usual there and then, not what is "
        "coming. All else comes from your log: of the trips looked back on, the share that brought "
        "it, where it is known."
    )


def _names(trips: Sequence[TripChoice]) -> str:
    return listing([in_marks(t.title) for t in trips])
