"""What is typed, put over files that changed since the form was opened: neither side is lost.

Of each field what the person changed counts, else what the files say now.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ...tripdata.logbook_entry import TripEntry
from .offered import Book
from .showing import key_of, typed

_FIELDS = ("title", "start_on", "end_on", "mode", "note", "went")
_CELLS = ("low", "rain", "sleep", "warmth", "camp")


def merged(
    before: TripEntry, mine: Mapping[str, Any], now: TripEntry, book: Book
) -> dict[str, Any]:
    """What is to stand in the form: ``before`` is what it was opened on, ``mine`` what one typed.

    Rows that were put down elsewhere meanwhile are added; those one has changed stay as one has
    them.
    """
    opened, files = typed(before, book), typed(now, book)
    rows = {key_of(row) for row in now.along}
    items = {row.item for row in now.along}

    def changed(name: str) -> bool:
        return bool(mine[name] != opened[name])

    result = dict(mine) | {name: mine[name] if changed(name) else files[name] for name in _FIELDS}
    for name in ("packed", "took", "home"):
        result[name] = _by_key(opened[name], mine.get(name, opened[name]), files[name])
    result["left"] = [key for key in mine["left"] if key in rows]
    result["brought"] = [each for each in mine["brought"] if each["item"] not in items]
    result["days"] = {
        day: _day(opened["days"].get(day), mine["days"].get(day), files["days"].get(day))
        for day in sorted({*mine["days"], *files["days"]})
    }
    for name, old, new in (
        ("failures", before.failures, now.failures),
        ("missed", before.wishes, now.wishes),
    ):
        result[name] = _rows(mine[name], old, new, files[name])
    return result


def _by_key(
    opened: Mapping[str, Any], mine: Mapping[str, Any], files: Mapping[str, Any]
) -> dict[str, Any]:
    result = {}
    for key in sorted({*opened, *mine, *files}):
        source = mine if mine.get(key) != opened.get(key) else files
        if key in source:
            result[key] = source[key]
    return result


def _day(
    opened: Mapping[str, Any] | None,
    mine: Mapping[str, Any] | None,
    files: Mapping[str, Any] | None,
) -> Any:
    if mine is None or files is None:
        return mine if files is None else files
    old = opened or {}
    result = {c: mine[c] if mine[c] != old.get(c, "") else files[c] for c in _CELLS}
    legs = []
    for place in range(max(len(mine["legs"]), len(files["legs"]))):
        own, was, new = (
            _at(each, place) for each in (mine["legs"], old.get("legs", ()), files["legs"])
        )
        if own is None or new is None:
            legs.append(own if new is None else new)
            continue
        known = was or {}
        legs.append({c: own[c] if own[c] != known.get(c, "") else new[c] for c in new})
    return {"legs": legs, **result}


def _at(legs: Sequence[Mapping[str, str]], place: int) -> Mapping[str, str] | None:
    return legs[place] if place < len(legs) else None


def _rows(
    mine: Sequence[Mapping[str, Any]],
    old: Sequence[Any],
    new: Sequence[Any],
    files: Sequence[Mapping[str, Any]],
) -> list[dict[str, Any]]:
    """The rows of a list, those that are new in the files after one's own."""
    find: Callable[[Any], int | None] = lambda row: new.index(row) if row in new else None  # noqa: E731
    rows = []
    for each in mine:
        was = each.get("was")
        known = old[was] if isinstance(was, int) and was < len(old) else None
        rows.append(dict(each) | {"was": None if known is None else find(known)})
    added = [each for each, row in zip(files, new, strict=True) if row not in old]
    return [*rows, *map(dict, added)]
