"""Sections of the weigh-up: totals, systems, things, kits and bags."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...display.figure import Figure
from ...display.sections import Section
from ...display.tables import Column, Table, decimal, measured, right, text, whole, words
from ...display.words import Display, count, mass, quoted, small_mass
from ..guarding import guards
from ..results import GroupSum, WeighUp, certain_class
from ..words import nothing, total_scale
from . import words as say
from .charts import systems_chart
from .shown import WAYS_CARRIED, GroupShown, groups_shown

if TYPE_CHECKING:
    from .page import WeighUpPage

_HEAVIEST = 12
_PARTS = ("worn", "consumable", "vehicle")


def totals_section(page: "WeighUpPage") -> Section:
    """The totals, each under its name."""
    weighed, display = page.weighed, page.display
    heading = "Totals by name"
    left_out = _left_out_table(weighed, display)
    if not weighed.rows:
        if not left_out:
            return Section.empty(heading, "there is nothing to weigh")
        return Section(heading, (nothing(weighed),), more=left_out)
    rows = [
        {
            "name": say.total_name(weighed, total),
            "weight": say.total_text(weighed, total, display),
            "class": say.class_of(weighed, total) if total == weighed.base else None,
        }
        for total in weighed.telling_totals()
    ]
    columns = (text("name", "Total"), right("weight", "Weight"), text("class", "Class"))
    return Section(
        heading,
        (say.totals_words(weighed, display),),
        table=Table.of(columns, rows, "total").without_blank("class"),
        notes=(
            "Bags weigh with what they hold, and a boat may be a load or a vehicle: so each total "
            "has its name.",
            *say.class_note(weighed),
            *say.counted_note(weighed, display),
        ),
        more=left_out,
    )


def _left_out_table(weighed: WeighUp, display: Display) -> tuple[Table, ...]:
    """Everything that is left out as the reader asked, folded, what keeps safe first."""
    if not weighed.left_out:
        return ()
    rows = [
        {"name": row.name, "system": row.system}
        | {"weight": None if row.row_mg is None else row.row_mg / 1000}
        for row in sorted(weighed.left_out, key=lambda row: not guards(row))
    ]
    columns = (
        text("name", "Thing"),
        words("system", "System"),
        measured("weight", "Weight", small_mass(display)),
    )
    return (Table.of(columns, rows, "row", caption="Not counted, as you asked", fold_after=0),)


def by_system_section(page: "WeighUpPage") -> Section:
    """What each system weighs, by way of carrying."""
    weighed, display = page.weighed, page.display
    heading = "By system"
    if not say.worn_and_packed(weighed, display):
        return Section.empty(heading, "nothing that is worn or packed is weighed")
    # As the sentence and the picture have it: what is the vehicle's alone comes last.
    systems = sorted(
        groups_shown(weighed, "system", total_scale(display)),
        key=lambda each: (-each.skin_out_g, each.about.name),
    )
    drawn = [each for each in systems if each.skin_out_g]
    parts = "; ".join(
        f"{name.replace('_', ' ')} {mass(grams, display)}"
        for name, grams in say.worn_and_packed(weighed, display)
    )
    figure = Figure(
        "systems",
        f"A bar a system, heaviest first, in base, worn and consumable parts: {parts}.",
        systems_chart(drawn, total_scale(display)),
        "Each bar is a system at the start of the trip, the heaviest first. Its parts follow each "
        "other: base weight, what is worn, then consumables such as food and fuel.",
    )
    table = Table.of(
        (words("name", "System"), *_kind_columns(display), *_without_columns(display)),
        _whole_rows(systems, weighed),
        "system",
        caption="Every system",
        fold_after=0 if len(drawn) > 1 else 12,
    )
    return Section(
        heading,
        say.system_words(weighed, display),
        # One bar says no more than its sentence.
        figure if len(drawn) > 1 else None,
        _telling(table, weighed),
        (say.NO_ADVICE,),
    )


def things_section(page: "WeighUpPage") -> Section:
    """The heaviest things."""
    weighed, display = page.weighed, page.display
    heading = "Heaviest things"
    names = {row.item: row for row in weighed.rows}
    heavy = [each for each in weighed.by("item") if each.carried_mg]
    if not heavy:
        return Section.empty(heading, "nothing is weighed")
    rows = [
        {**row, "name": names[row["name"]].name, "system": names[row["name"]].system}
        for row in _thing_rows(heavy[:_HEAVIEST], weighed)
    ]
    columns = (
        text("name", "Thing"),
        words("system", "System"),
        measured("carried", "Weight", small_mass(display)),
        decimal("share", "Share", "%"),
        *_without_columns(display),
    )
    return Section(
        heading,
        (say.heaviest_words(weighed, display),),
        table=_telling(Table.of(columns, rows, "thing"), weighed),
    )


def kits_section(page: "WeighUpPage") -> Section:
    """What each kit weighs."""
    weighed, display = page.weighed, page.display
    heading = "By kit"
    kits = groups_shown(weighed, "kit", total_scale(display))
    named_kits = sum(1 for each in kits if each.about.name)
    if not named_kits:
        return Section.empty(heading, "nothing on the list names a kit")
    heaviest = kits[0]
    answer = (
        f"“{heaviest.about.name}” is the heaviest of {count(named_kits, 'kit')}: "
        f"{mass(heaviest.carried_g, display, at_least=heaviest.about.unweighed > 0)}."
    )
    rows = [{**row, "name": row["name"] or "In no kit"} for row in _whole_rows(kits, weighed)]
    columns = (
        text("name", "Kit"),
        whole("items", "Things"),
        *_kind_columns(display),
        *_without_columns(display),
    )
    caption = (
        f"{count(named_kits, 'kit')}{', and what is in none' if named_kits < len(kits) else ''}"
    )
    table = Table.of(columns, rows, "row", caption=caption)
    return Section(heading, (answer,), table=_telling(table, weighed))


def bag_loads_section(page: "WeighUpPage") -> Section:
    """What each bag holds, left against right, and the owner's own limits."""
    weighed, bags, display = page.weighed, page.bags, page.display
    heading = "By bag"
    answer = say.bag_words(bags, display)
    if not answer:
        return Section.empty(heading, "no row of the list names a bag")
    scale = total_scale(display)
    rows = [
        {
            "name": load.name,
            "items": load.items,
            "holds": load.contents_mg / 1000,
            "itself": None if load.itself_mg is None else load.itself_mg / 1000,
            "limit": None if load.limit_mg is None else load.limit_mg / 1000,
            "room": None
            if load.limit_mg is None
            else scale.difference(load.limit_mg / 1000, load.contents_mg / 1000),
            "unweighed": load.unweighed or None,
        }
        for load in bags.loads
    ]
    columns = (
        text("name", "Bag"),
        whole("items", "Things"),
        measured("holds", "Holds", scale),
        measured("itself", "The bag itself", scale),
        measured("limit", "Your limit", scale),
        measured("room", "Room to the limit", scale, signed=True),
        whole("unweighed", "Not weighed"),
    )
    loose = next((each for each in weighed.by("bag") if not each.name), None)
    notes = []
    if loose and bags.loads:
        notes.append(
            f"{count(loose.items, 'thing')} in no bag: {mass(loose.carried_mg / 1000, display)}, "
            "what is worn and the bags themselves among them."
        )
    if bags.unused_limits:
        notes.append(
            f"Not on this list, but limited in tarebook.toml: {quoted(bags.unused_limits)}."
        )
    if not any(load.limit_mg for load in bags.loads) and not bags.vehicles:
        notes.append(
            "Your own limits, by bag, bike or boat, stand here once tarebook.toml has them under "
            "[limits]."
        )
    table = Table.of(columns, rows, "bag").without_blank("itself", "limit", "room", "unweighed")
    return Section(heading, answer, table=table, notes=tuple(notes), caution=say.LOAD_CARE)


def _whole_rows(groups: Sequence[GroupShown], weighed: WeighUp) -> list[dict[str, Any]]:
    """Rows of a table; what is 0 for lack of such things, or of weights, is blank."""
    return [
        {
            "name": each.about.name,
            "items": each.about.items,
            **{kind: each.kinds_g[kind] or None for kind in WAYS_CARRIED},
            "carried": each.carried_g or None,
            "share": each.about.share * 100 if each.about.share else None,
            "base_without": each.base_without_g if each.about.base_mg else None,
            "class_without": _class_then(each.about, weighed),
            "unweighed": each.about.unweighed or None,
        }
        for each in groups
    ]


def _thing_rows(sums: Sequence[GroupSum], weighed: WeighUp) -> list[dict[str, Any]]:
    """Rows of single things, each with its own weight."""
    return [
        {
            "name": each.name,
            "carried": each.carried_mg / 1000,
            "share": each.share * 100 if each.share else None,
            "base_without": each.base_without_mg / 1000 if each.base_mg else None,
            "class_without": _class_then(each, weighed),
            "unweighed": each.unweighed or None,
        }
        for each in sums
    ]


def _class_then(each: GroupSum, weighed: WeighUp) -> str | None:
    """The class without it; None where it changes none, or is no one thing to do without.

    Nor has a list a class that is then without shelter or anything to sleep in.
    """
    if not each.base_mg or not each.name or weighed.lacks_camp_without(each):
        return None
    return each.class_without or certain_class(each.base_without_mg / 1000)


def _kind_columns(display: Display) -> tuple[Column, ...]:
    scale = total_scale(display)
    return (
        measured("carried", "All", scale),
        decimal("share", "Share", "%"),
        measured("base", "Base", scale),
        measured("worn", "Worn", scale),
        measured("consumable", "Food and fuel", scale),
        measured("vehicle", "Bike and boat", scale),
    )


def _telling(table: Table, weighed: WeighUp) -> Table:
    """The table without what is blank, and without classes where all are that of the whole."""
    classes = {row.get("class_without") for row in table.rows} - {None}
    if not weighed.has_class or classes <= {say.class_of(weighed, weighed.base)}:
        table = table.without("class_without")
    return table.without_blank(*_PARTS, "base_without", "unweighed", "class_without")


def _without_columns(display: Display) -> tuple[Column, ...]:
    return (
        measured("base_without", "Base without it", total_scale(display)),
        text("class_without", "Class then"),
        whole("unweighed", "Not weighed"),
    )
