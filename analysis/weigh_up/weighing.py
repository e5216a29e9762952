"""A list weighed up: which rows count, and their exact sums."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from ...tripdata.names import folded
from ..display.words import listing, quoted
from ..store.rows import Record, Store, ask
from ..store.trip_choice import choose_trip
from ..store.weight_class import weight_class
from .results import GroupSum, LoadRow, WeighUp
from .wishes import KINDS, Named, Vocabulary, WeighWishes


def weigh_up(
    connection: Store,
    trip: str = "",
    *,
    without: str = "",
    added: str = "",
    as_carried: str = "",
    today: date,
    trip_option: str = "trip",
) -> WeighUp:
    """Weigh what a trip or plan has on me at its start, or everything owned on the day ``today``.

    without, added: names of items, kits, systems or bags, separated by ";". as_carried: pairs such
    as "boat=base". trip_option: how a complaint names the option of the trip. Raises QuestionError,
    with the nearest name, on one that is not known.
    """
    chosen = choose_trip(connection, trip, trip_option) if trip.strip() else None
    name = chosen.trip if chosen else None
    gear = ask(
        connection,
        "weigh_up/gear_weighed",
        day=chosen.start_on if chosen else today,
    )
    bags = [row["bag"] for row in ask(connection, "weigh_up/bag_names")]
    known = Vocabulary(gear, bags)
    wishes = known.wishes(without, added, as_carried)
    if name is None:
        at_hand = [row for row in gear if not row["given_up"] and not row["not_yet"]]
        load = [_gear_row(row) for row in at_hand if row["owner"] is None]
        borrowed = [_gear_row(row) for row in at_hand if row["owner"] is not None]
        unread = 0
    else:
        by_item: dict[str, Record] = {row["item"]: row for row in gear}
        load = [_load_row(row, by_item) for row in ask(connection, "weigh_up/load", trip=name)]
        unread = ask(connection, "weigh_up/carried_unread", trip=name)[0]["records"]
        borrowed = []
    besides = list(_besides(gear, {row.item for row in load}, wishes, name is None))
    every = [replace(row, carried_as=wishes.way(row)) for row in (*load, *besides)]
    rows = [row for row in every if not wishes.unwanted(row)]
    return WeighUp(
        chosen,
        today,
        tuple(rows),
        tuple(row for row in every if wishes.unwanted(row)),
        tuple(_sums(connection, rows)),
        unread,
        tuple(_remarks(known, wishes, load, besides)),
        tuple(row for row in borrowed if row.item not in {each.item for each in besides}),
    )


def _gear_row(row: Record, added: bool = False) -> LoadRow:
    return LoadRow(
        row["item"],
        row["name"],
        row["system"],
        row["kit"],
        None,
        row["carried_as"],
        row["weight_mg"],
        added,
        row["marked"],
    )


def _load_row(row: Record, gear: Mapping[str, Record]) -> LoadRow:
    of_gear = _gear_row(gear[row["item"]])
    return replace(of_gear, bag=row["bag"], carried_as=row["carried_as"], row_mg=row["row_mg"])


def _besides(
    gear: Sequence[Record], listed: set[str], wishes: WeighWishes, everything: bool
) -> Iterator[LoadRow]:
    """What is not on the list and asked for; of a kit or system what is at hand and not borrowed.

    What is given up, not yet bought or, beside all that is owned, borrowed counts by its own name.
    """
    for record in gear:
        row = _gear_row(record, added=True)
        lent = everything and record["owner"] is not None
        fewest = 2 if record["given_up"] or record["not_yet"] or lent else 1
        if row.item not in listed and wishes.wanted(row) >= fewest and not wishes.unwanted(row):
            yield row


def _sums(connection: Store, rows: Sequence[LoadRow]) -> Iterator[GroupSum]:
    records = ask(
        connection,
        "weigh_up/sums",
        items=[row.item for row in rows],
        systems=[row.system for row in rows],
        kits=[row.kit for row in rows],
        kit_keys=[row.kit and folded(row.kit) for row in rows],
        bags=[row.bag for row in rows],
        bag_keys=[row.bag and folded(row.bag) for row in rows],
        ways=[row.carried_as for row in rows],
        weights_mg=[row.row_mg for row in rows],
    )
    # Each row of the list is in one sum of a grouping, so that any of them has the whole.
    whole = [record for record in records if record["group"] == "carried_as"]
    carried, base, base_unweighed = (
        sum(record[column] for record in whole)
        for column in ("carried_mg", "base_mg", "base_rows_unweighed")
    )
    for record in records:
        base_without = base - record["base_mg"]
        known = base_unweighed == record.pop("base_rows_unweighed")
        yield GroupSum(
            **record,
            share=record["carried_mg"] / carried if carried else None,
            base_without_mg=base_without,
            class_without=weight_class(base_without / 1000) if known and base_without else None,
        )


def _remarks(
    known: Vocabulary, wishes: WeighWishes, load: Sequence[LoadRow], besides: Sequence[LoadRow]
) -> Iterator[str]:
    """What a wish did not do, or did that may surprise, a sentence each."""

    def names(named: Named, rows: Sequence[LoadRow]) -> bool:
        return any(named.closeness(row) for row in rows)

    every = [*load, *besides]
    changing = [*wishes.without, *(named for named, _ in wishes.ways)]
    owned = [_gear_row(record) for record in known.gear]
    nowhere = {
        named.text: "system" if named.system else "kit"
        for named in wishes.without
        if not (named.items or named.kit or named.bag or names(named, [*every, *owned]))
    }
    if nowhere:
        columns = [
            f"{listing([text for text, at in nowhere.items() if at == column])} in the column "
            f"{column}"
            for column in dict.fromkeys(nowhere.values())
        ]
        yield (
            f"Nothing in gear.csv is called {quoted(list(nowhere), last='or')}, so all else is "
            f"answered: write {listing(columns)}, in the rows of what you mean."
        )
    unknown = {
        folded(named.text): named.text
        for named in changing
        if folded(named.text) not in set(map(folded, nowhere)) and not names(named, every)
    }
    if unknown:
        called = quoted(list(unknown.values()), last="or")
        yield f"Nothing on the list is called {called}, so that it changes nothing."
    for named in wishes.added:
        brought_back = [row for row in load if wishes.left_out(row) and not wishes.unwanted(row)]
        if not names(named, [*load, *owned]):
            yield f"Nothing in gear.csv is called “{named.text}”, so that it adds nothing."
        elif not names(named, [*besides, *brought_back]):
            yield f"“{named.text}” adds nothing: what it names is on the list already."
    for named in wishes.without:
        if kinds := _called_so_too(known, named, every):
            yield (
                f"“{named.text}” is taken as the thing of that name; what else is of "
                f"{_of_that_name(kinds)} still counts. {_spelt(kinds, named.text)} leaves it out."
            )
    for named, way in wishes.ways:
        if kinds := _called_so_too(known, named, every):
            yield (
                f"“{named.text}” is taken as the thing of that name; what else is of "
                f"{_of_that_name(kinds)} counts as before. {_spelt(kinds, named.text)} names it: "
                f"{kinds[0]}:{named.text}={way}."
            )
    for row in filter(wishes.passed_by, every):
        yield (
            f"“{row.name}” is worn on the water, so it counts as before; its own name counts it "
            f"otherwise: item:{row.item}=base."
        )
    given_up = {record["item"] for record in known.gear if record["given_up"]}
    for row in besides:
        if row.item in given_up:
            yield f"“{row.name}” is given up; it counts because you asked for it."


def _called_so_too(known: Vocabulary, named: Named, rows: Sequence[LoadRow]) -> list[str]:
    """Which of kit, system and bag are called like a thing, and have more on the list than it."""
    if not named.items or not named.plain:
        return []
    groups = known.groups_called(named.text)
    found = {kind for row in rows if not named.closeness(row) for kind in groups.kinds_of(row)}
    return [kind for kind in KINDS if kind in found]


def _of_that_name(kinds: Sequence[str]) -> str:
    return f"the {listing(kinds)} of that name"


def _spelt(kinds: Sequence[str], name: str) -> str:
    return listing([f"{kind}:{name}" for kind in kinds], last="or")
