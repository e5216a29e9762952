"""What could stay at home on a trip to come, inside its evidence."""

from typing import TYPE_CHECKING

from ....tripdata.names import folded
from ...display.cautions import LEAVING_CARE
from ...display.sections import Section
from ...display.tables import Table, measured, right, text, yes_no
from ...display.thing_names import listed
from ...display.words import Display, listing, mass, number, percent, small_mass
from ...usage.held_words import let_go_word
from ...usage.verdict_words import seen, served_besides
from ...usage.verdicts import Judged
from ..before_trip import BeforeTrip
from ..stays_home import StaysHome
from . import words as say

if TYPE_CHECKING:
    from .page import BeforeTripPage

STAYS = "What could stay at home"
_EACH = "How often each was used, what it is for, and how this was worked out"


def stays_section(page: "BeforeTripPage") -> Section:
    """What the record would leave at home for this trip, inside its evidence."""
    if page.data is None or not page.data.home.things:
        return Section.empty(STAYS, "a thing that the record would leave at home for this trip")
    home, display, items = page.data.home, page.display, page.data.packing.items
    grams = [judged.about.weight_g for judged in home.things]
    whole = mass(sum(g for g in grams if g is not None), display, at_least=None in grams)
    rows = [
        {
            "name": judged.about.name,
            "weight": judged.about.weight_g,
            "listed": judged.about.item in items,
            "used": f"{number(judged.usage.rate.used)} of {number(judged.usage.rate.n)}",
            "needed": f"under {percent(judged.bound)}",
            "meant": _meant(judged, page.data, display),
        }
        for judged in home.things
    ]
    columns = (
        text("name", "Thing"),
        measured("weight", "Weight", small_mass(display)),
        yes_no("listed", "On the list"),
        right("used", "Used"),
        right("needed", "Probably needed on"),
        text("meant", "What else to know"),
    )
    names = listed([judged.about.name for judged in home.things])
    table = Table.of(columns, rows, "thing", fold_after=20, stacks=True)
    return Section(
        STAYS,
        (
            f"{names} could stay at home on this trip, going by your record: {whole}. "
            f"{say.leaving_price(home, page.data.ahead)}",
        ),
        table=table.without_blank("meant"),
        notes=(_rule(home), *_ranges(home, display)),
        caution=LEAVING_CARE,
        fold=_EACH,
    )


def _meant(judged: Judged, data: BeforeTrip, display: Display) -> str:
    """What else it served, for which weather it is meant, and the word that lets it go."""
    each = next((e for e in data.packing.things if e.thing.item == judged.about.item), None)
    meant = say.meant_and_stays(each, data, display) if each is not None else ""
    word = let_go_word(judged.about)
    return "; ".join(part for part in (served_besides(judged), meant, word) if part)


def _rule(home: StaysHome) -> str:
    """By which rule all of them are listed, told once."""
    lines = sorted({judged.limit for judged in home.things})
    of = "the threshold of" if len(lines) == 1 else "its threshold. By what a thing is, that is"
    return (
        "“Used” counts the occasions that each thing had. A thing is listed because it was "
        f"probably needed on a smaller share of them than {of} "
        f"{listing([percent(each) for each in lines], last='or')}."
    )


def _ranges(home: StaysHome, display: Display) -> tuple[str, ...]:
    """The trips behind it, told once where they are the same for all."""
    names: dict[str, list[str]] = {}
    for judged in home.things:
        names.setdefault(seen(judged.usage.seen, display), []).append(judged.about.name)
    if len(names) == 1:
        return tuple(f"That rests on trips {which}." for which in names)
    return tuple(f"{listed(of)}: that rests on trips {which}." for which, of in names.items())


def stays_by_bag(data: BeforeTrip) -> dict[str, list[tuple[str, int]]]:
    """What of each bag could stay at home, whatever else comes along: name and mg, by bag.

    A bag of which something could only stay beside another thing is there without it.
    """
    found: dict[str, list[tuple[str, int]]] = {}
    for each in sorted(data.packing.things, key=lambda one: -(one.row_g or 0.0)):
        thing = each.thing
        if thing.item in data.home.items and thing.bag and each.row_g:
            held = found.setdefault(folded(thing.bag), [])
            if thing.item in data.home.beside:
                continue
            held.append((thing.name, round(each.row_g * 1000)))
    return found
