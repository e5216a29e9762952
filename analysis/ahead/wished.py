"""What was missed or wished for on trips before: owned and left at home, or not owned."""

from collections.abc import Mapping, Sequence

from ...tripdata.names import folded, slug
from ..store.rows import Record
from .along import LikeLists

FEWEST_WISHES = 2
"""So often at least a thing that is not owned must have been wished for."""
_DEARLY = ("badly", "much")
"""Or once, but so much, on a trip like the one ahead."""


def missed_at_home(
    wishes: Sequence[Record], gear: Mapping[str, Record], known: LikeLists
) -> dict[str, list[str]]:
    """By thing at hand the titles of like trips on which it stayed at home and was missed.

    ``wishes``: rows of ``ahead/wishes_before``; ``gear``: rows of ``ahead/gear_then`` by item. A
    wish for what is no longer at hand is one for what took over from it.
    """
    like = {trip.trip for trip in known.like}
    missed: dict[str, list[str]] = {}
    for row in wishes:
        item = row["item"] if row["item"] is not None else _called(row["what"], gear, known)
        if item is None or row["trip"] not in like or row["went_along"]:
            continue
        for one in [item] if item in known.at_hand else known.heirs(item):
            titles = missed.setdefault(one, [])
            titles += [row["title"]] if row["title"] not in titles else []
    return missed


def wished_unowned(
    wishes: Sequence[Record], gear: Mapping[str, Record], known: LikeLists
) -> list[tuple[str, list[str], str | None]]:
    """What was wished for twice, or on a like trip much or badly, and is not owned.

    The most often first.
    In its latest words, with the titles of the trips, the latest last, and how much if it was once.
    """
    of: dict[str, list[Record]] = {}
    for row in wishes:
        if row["item"] is None and row["what"] and _called(row["what"], gear, known) is None:
            of.setdefault(folded(slug(row["what"])), []).append(row)
    like = {trip.trip for trip in known.like}
    often = [
        rows
        for rows in of.values()
        if len(rows) >= FEWEST_WISHES
        or any(row["how_much"] in _DEARLY and row["trip"] in like for row in rows)
    ]
    often.sort(key=lambda rows: (-len(rows), rows[-1]["what"]))
    return [
        (
            rows[-1]["what"],
            [row["title"] for row in rows],
            rows[0]["how_much"] if len(rows) == 1 else None,
        )
        for rows in often
    ]


def _called(what: str | None, gear: Mapping[str, Record], known: LikeLists) -> str | None:
    """The thing at hand that is called so, by its item or name."""
    key = folded(slug(what or ""))
    return next(
        (
            item
            for item in sorted(known.at_hand)
            if key in (folded(item), folded(slug(gear[item]["name"])))
        ),
        None,
    )
