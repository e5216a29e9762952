"""What stayed packed on one trip, by what that says of it."""

from collections.abc import Sequence
from datetime import date

from ..store.rows import Record, Store, ask
from .load import NeverOut, never_out


def stayed_packed(
    store: Store, trip: str, gear: Sequence[Record], today: date, lost: int
) -> NeverOut | None:
    """What was never taken out, in its groups; None where no use is known.

    ``gear`` is the answer to `trip_gear`, ``lost`` as of `load.never_out`. What stays on the list
    is asked of the whole log as of ``today``, and only where anything stayed packed.
    """
    out = never_out(gear, lost)
    if out is None or not out.items:
        return out
    from ..usage.standing import standing

    came = {row["item"]: row["chance"] for row in ask(store, "debrief/conditions_met", trip=trip)}
    stands = standing(store, today)
    return never_out(gear, lost, came, stands.stays, stands.early, stands.given_up)
