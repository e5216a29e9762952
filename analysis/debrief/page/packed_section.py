"""The sections of a debrief on what stayed packed: what that says of it, and the insurance."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...display.figure import Figure
from ...display.sections import Section
from ...display.thing_names import named
from ...display.words import count, mass, sentence
from ...store.rows import Record
from ..load import NeverOut
from . import charts, tables
from .words import NO_INSURANCE, PACKED_GROUPS, group_sentences, why_open

if TYPE_CHECKING:
    from .page import DebriefPage

_ONE_TRIP = "One trip proves little: what stayed packed this time may be needed the next."
_OFTEN = 2
"""A reason of more things than these is told once, above the table."""
_NO_WASTE = "None of it is waste, used or not: look it over and carry it again."


def never_out_section(page: "DebriefPage") -> Section:
    """What came along and was never taken out, insurance apart, by what that says of it."""
    debrief, display = page.data, page.display
    heading, out, trip = "What stayed packed", debrief.never_out, debrief.trip
    if out is None:
        return Section.empty(heading, "what was used")
    everything = tables.along_table(debrief.gear, debrief.thing_notes, display)
    if not out.items:
        scope = "Everything" if out.complete else "Everything of which it is noted"
        return Section(heading, (f"{scope} was used, {NO_INSURANCE}.",), table=everything)
    many = f"at least {count(len(out.items), 'thing')}"
    if out.complete:
        many = f"{len(out.items)} of {count(trip.items_carried, 'thing')}"
    verb = "was" if len(out.items) == 1 else "were"
    weighs = (
        "" if out.weight_g is None else f": {mass(out.weight_g, display, at_least=out.at_least)}"
    )
    answer = sentence(f"{many} {verb} never taken out, {NO_INSURANCE}{weighs}")
    figure = Figure(
        "never-out",
        answer,
        charts.never_out_chart(drawn(out), display),
        "In each group the heaviest comes first.",
    )
    rows, reasons = told_once(in_groups(out))
    several = sum(row["on_me"] for row in out.items) > 1
    return Section(
        heading,
        (f"{answer} {_ONE_TRIP}", *group_sentences(out), *reasons),
        figure if several else None,
        tables.never_out_table(rows, debrief.thing_notes, display),
        _notes(out),
        more=(everything,),
        fold="Everything that came along",
    )


def drawn(out: NeverOut) -> dict[str, list[Record]]:
    """What weighed on one at the start, by the title of its group."""
    return {
        title: [row for row in getattr(out, key) if row["on_me"]]
        for key, title in PACKED_GROUPS.items()
    }


def in_groups(out: NeverOut) -> list[Record]:
    """All of it in one list, group by group, with the title of the group."""
    return [
        {"why": None, **row, **_why(key, row), "group": title}
        for key, title in PACKED_GROUPS.items()
        for row in getattr(out, key)
    ]


def told_once(rows: Sequence[Record]) -> tuple[list[Record], list[str]]:
    """Return the rows with a short name for each reason of many of them, and a line for each."""
    many = Counter(row["why"] for row in rows if row["why"])
    often = [why for why, times in many.items() if times > _OFTEN]
    short = {why: f"Reason {place}" for place, why in enumerate(often, start=1)}
    lines = [f"{name}, of {many[why]} of them: {why}" for why, name in short.items()]
    return [{**row, "why": short.get(row["why"], row["why"])} for row in rows], lines


def _why(key: str, row: Record) -> Record:
    return {"why": why_open(row)} if key == "not_needed" else {}


def _notes(out: NeverOut) -> tuple[str, ...]:
    notes = []
    if out.no_weather:
        notes.append(
            "Its weather did not come: the weather you have it for is known not to have come while "
            "it was along."
        )
    others = [row["name"] for row in out.items if not row["on_me"]]
    if others:
        verb = "is" if len(others) == 1 else "are"
        notes.append(
            f"{named(others)} did not weigh on you at the start and {verb} not in the sum."
        )
    return tuple(notes)


def insurance_carried_section(page: "DebriefPage") -> Section:
    """What was carried in the hope of not needing it; never counted as waste."""
    heading, rows, display = "The insurance shelf", page.data.insurance, page.display
    if not rows:
        return Section.empty(heading, "no insurance was carried")
    known = [row["weight_g"] for row in rows if row["weight_g"] is not None]
    weighs = f", {mass(sum(known), display, at_least=len(known) < len(rows))}" if known else ""
    verb, them = ("was", "it") if len(rows) == 1 else ("were", "them")
    first = f"{count(len(rows), 'thing')}{weighs}, {verb} carried in the hope of not needing {them}"
    return Section(
        heading,
        (sentence(first), f"{_needed(rows)} {_NO_WASTE}"),
        table=tables.insurance_carried_table(rows, page.data, display),
        fold="The whole shelf of insurance",
    )


def _needed(rows: Sequence[Record]) -> str:
    needed = [row["name"] for row in rows if row["used"]]
    if needed:
        return sentence(f"Needed all the same: {named(needed)}")
    unknown = any(row["used"] is None for row in rows)
    return "Whether any was needed is not noted." if unknown else "None of it was needed."
