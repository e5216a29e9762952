"""The sections of a trip to come: what may be missing, how much, how far, how cold."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ...climate import station_words
from ...climate.outlook import Outlook
from ...cold import note_words
from ...cold import words as cold_words
from ...cold.page_tables import sets_table
from ...display.cautions import AHEAD_CARE, FIRE_CARE, LIST_CARE, NEEDS_CARE, NEW_BATTERY_CARE
from ...display.checklist import Checklist, Task
from ...display.figure import Figure
from ...display.sections import Section
from ...display.tables import Table, right, text, whole
from ...display.thing_names import listed
from ...display.words import count, listing, quoted, sentence
from ...wear.chores import Chore, first_try
from ..before_trip import BeforeTrip
from ..kept_words import too_low_so_far
from ..lifelines import lifelines_first
from ..needs_words import home_unmarked_words, left_out, on_the_way
from ..results import MayBeMissing, Need
from ..uncounted import uncounted_words
from ..unlike import may_be_colder, of_trips_before
from . import amount_words as much
from . import battery_words
from . import words as say
from .charts import needs_chart

if TYPE_CHECKING:
    from .page import BeforeTripPage

MISSING = "Probably forgotten"
AMOUNTS = "How much to take"
BATTERY = "How far the battery goes"
COLD = "How cold it may be"
_HOW = "how sure each is, and how this was worked out"
_EACH = "How sure this amount is, and how it was worked out"
_SETS = "Sleep sets that you own, and how this was worked out"
_ORDER = "What no list should lack stands first, then what is most often along and needed."
_ORDERED = 4
"""The order of more things than this is told."""
_BURNS = ("cook", "fire")
_FEEDS = ("food", "water", *_BURNS)


def missing_section(page: "BeforeTripPage") -> Section:
    """What the list may lack, each thing with its reason."""
    if page.data is None or not page.data.missing:
        return Section.empty(MISSING, "nothing that such trips had along is missing")
    missing = lifelines_first(page.data.missing)
    tried = {each.item: each for each in page.data.chores if each.kind == "try_out"}
    owned, wished = (
        tuple(
            Task(each.what, _reason(each, tried))
            for each in missing
            if (each.item is not None) is mine
        )
        for mine in (True, False)
    )
    return Section(
        MISSING,
        (say.missing_in_short(missing),),
        more=(Checklist("Pack it, or decide not to", owned), Checklist("Wished for", wished)),
        notes=(_ORDER,) if len(owned) > _ORDERED else (),
        caution=LIST_CARE,
    )


def _reason(each: MayBeMissing, tried: Mapping[str, Chore]) -> str:
    """Why it is named, and that it failed before, where it was mended since."""
    chore = tried.get(each.item or "")
    return each.reason if chore is None else f"{each.reason} {first_try(chore)}"


def amounts_section(page: "BeforeTripPage") -> Section:
    """How much of food, fuel and the like does for nine trips in ten."""
    if page.data is None:
        return Section.empty(AMOUNTS, "consumables on the list or on like trips")
    if not page.needs:
        return _no_amounts(page.data)
    data, display, needs = page.data, page.display, page.needs
    rows = [
        {
            "name": much.need_name(need),
            "take": much.take_cell(need, display),
            "list": None if need.on_list is None else much.amount(need.on_list, need, display),
            "enough": _chance_enough(need),
            "range": much.amount_range(need, display) if need.at_least is None else None,
            "trips": need.trips,
            "used_up": need.used_up or None,
        }
        for need in needs
    ]
    columns = (
        text("name", "What"),
        right("take", _take_heading(needs)),
        right("list", "On the list"),
        right("enough", "That is enough"),
        right("range", "Very likely range"),
        whole("trips", "Trips behind it"),
        whole("used_up", "Trips that used it all up"),
    )
    table = Table.of(columns, rows, "amount", fold_after=20, stacks=True)
    told = [of_trips_before(much.need_sentence(n, data, display), data.ahead.unlike) for n in needs]
    parts = "; ".join(one.rstrip(".") for one in told)
    burns = any(need.system in _BURNS for need in needs)
    # Of others no share of such trips is known.
    drawn = [need for need in needs if need.basis == "like"]
    return Section(
        AMOUNTS,
        (told[0],),
        Figure(
            "amounts",
            f"What is needed against what is on the list. {parts}.",
            needs_chart(drawn, display),
            "Dot and line: what such a trip needs, and between which amounts it lies on nine in "
            "ten. Diamond: what is on the list; right of the dashed line it is enough for nine "
            "in ten.",
        )
        if drawn
        else None,
        table.without_blank("list", "enough", "range", "used_up"),
        (
            *_amount_notes(needs, data.consumption.too_few_trips, data.packing.items),
            *home_unmarked_words(data.consumption),
            *left_out(data.consumption),
            *on_the_way(data.ahead, data.consumption),
            *((much.COLD_TAKES_MORE,) if may_be_colder(data.ahead) else ()),
            *((much.SNOW_TAKES_MORE,) if burns and much.is_cold(data) else ()),
        ),
        caution=_amounts_care(data, burns=burns),
        fold=_EACH if len(needs) == 1 else f"All {len(needs)} amounts, {_HOW}",
    )


def _no_amounts(data: BeforeTrip) -> Section:
    """The cautions alone, and why no amount stands beside them."""
    if not any(each.thing.system in _FEEDS for each in data.packing.things):
        return Section.empty(AMOUNTS, "consumables on the list or on like trips")
    answer = (
        "How much food and fuel it takes is not known: too few trips say what was taken and "
        "what came home. Note that (brought_home in carried.csv), 0 where nothing came home."
    )
    if unmarked := home_unmarked_words(data.consumption):
        answer = f"How much food and fuel it takes is not known. {unmarked[0]}"
    elif data.load.unmarked:
        answer = f"{answer} Mark what is eaten or burnt as consumable in the column carried_as."
    return Section(
        AMOUNTS,
        (answer,),
        caution=_amounts_care(data),
    )


def _amounts_care(data: BeforeTrip, *, burns: bool = False) -> str:
    burns = burns or any(each.thing.system in _BURNS for each in data.packing.things)
    return f"{NEEDS_CARE} {FIRE_CARE}" if burns else NEEDS_CARE


def _take_heading(needs: Sequence[Need]) -> str:
    nine = all(need.basis == "like" for need in needs)
    return "For nine in ten" if nine else "To take"


def _chance_enough(need: Need) -> str | None:
    """Missing where no trip of one's own was such a one, or none says what was enough."""
    return (
        f"on {much.enough_in_100(need, need.chance_enough)}"
        if need.basis == "like" and need.chance_enough is not None
        else None
    )


def _amount_notes(
    needs: tuple[Need, ...], too_few: tuple[str, ...], items: frozenset[str]
) -> tuple[str, ...]:
    notes = []
    fuel = [need for need in needs if need.system == "cook" and need.item in items]
    if any(need.on_list is not None for need in fuel):
        notes.append(
            "Of fuel, only what can be burnt is compared with the need. The empty can is assumed "
            "to weigh as much as the lightest that came home of cans about as large, or larger."
        )
    if cans := [need for need in fuel if need.on_list is None]:
        notes.append(
            f"How much of {listed([each.name for each in cans])} can be burnt is not known. Weigh "
            "it with its can after the trip, and note that as what came home."
        )
    if any(need.basis == "like" for need in needs) and _take_heading(needs) == "To take":
        notes.append(
            "An amount “to take” without a word before it is enough on nine such trips in ten; "
            "with “at least” or “more than” no share of trips is known."
        )
    if any(need.with_can and need.tells for need in needs):
        notes.append(
            "Of fuel of which nothing came home, an empty can or bottle weighed with it counts as "
            "burnt: that is too much rather than too little."
        )
    if any(need.used_up for need in needs):
        notes.append(
            "On the trips from which nothing came home (“Trips that used it all up”), the "
            "need was at least what was taken."
        )
    unknown = [much.need_named(need) for need in needs if not need.trips]
    if unknown:
        notes.append(
            f"For {listing(unknown)} only common practice is known, as no trip tells what came "
            "home. Note that (brought_home in carried.csv)."
        )
    if any(need.basis == "practice" for need in needs):
        notes.append(
            "“Seldom over” is how much people differ by common practice (no published source): "
            "on how many trips of yours it would have been enough is not known."
        )
    if too_few:
        notes.append(
            f"Too few trips are known to say how much of {quoted(too_few, at_most=3)} it takes. "
            "Note what came home (brought_home in carried.csv), 0 where nothing did."
        )
    most = max(needs, key=lambda need: need.prior_share if need.tells else 0.0)
    notes += [f"{much.need_named(most)}: {said}" for said in much.few_trips(most)]
    return tuple(notes)


def battery_section(page: "BeforeTripPage") -> Section:
    """How far each bike's battery goes, and the case of its spare."""
    if page.data is None or not page.data.batteries:
        return Section.empty(BATTERY, "an e-bike that comes along")
    data = page.data
    answer = [
        of_trips_before(line, data.ahead.unlike)
        for battery in data.batteries
        for line in battery_words.battery_sentences(battery, data, page.display)
    ]
    if not answer:
        return Section.empty(BATTERY, "a battery whose capacity is noted")
    answer += uncounted_words(data.uncounted, data.batteries)
    days = [battery.logged_days for battery in data.batteries]
    how = {
        "own": "Distances and climbing are those noted for this trip. ",
        "partly": "Distances and climbing are those noted for this trip; days without any have "
        "those of like trips. ",
        "like": "Distances and climbing are those of like trips, as none are noted for this one. ",
    }.get(data.ahead.way_from, "")
    way = battery_words.way_words(data.ahead, page.display)
    how += f"{of_trips_before(way, data.ahead.unlike)} " if way else ""
    wanting = _way_wanting(data)
    if wanting:
        how, answer = "", [f"{answer[0]} {wanting}", *answer[1:]]
    rests = (
        f"It rests on {count(max(days), 'day')} on which you noted what the battery gave, and on "
        "formulas for rolling and climbing."
        if any(days)
        else "You noted on no day what the battery gave, so it rests on formulas for rolling and "
        "climbing alone."
    )
    spare = any(battery.spares for battery in data.batteries)
    heavier = "With a spare battery the bike is slower to steer and to stop. " if spare else ""
    return Section(
        BATTERY,
        tuple(answer),
        notes=(f"{how}{rests}",),
        caution=f"Cold, wind and age take more than any formula knows. {heavier}{NEW_BATTERY_CARE}",
        fold="What this trip takes, what a spare weighs, and how this was worked out",
    )


def _way_wanting(data: BeforeTrip) -> str:
    """What to note of its way before more can be told; blank where the way is known."""
    if data.ahead.way_from == "none":
        return (
            "No distances are known, so the chance that the battery lasts is not known: note them "
            "in the plan’s distances.csv."
        )
    by_ebike = any(day.mode == "ebike" for day in data.ahead.way)
    if not by_ebike:
        return (
            "Which of its distances are by e-bike is not noted, so how much this trip takes is "
            "not known: give them their mode in distances.csv."
        )
    known = {day.day for day in data.ahead.way if day.distance_km is not None}
    if known and any(day.day not in known for day in data.ahead.way):
        return (
            "Of some of its days no distance is known, so how much this trip takes is not known: "
            "note them in the plan’s distances.csv."
        )
    return ""


def cold_section(page: "BeforeTripPage") -> Section:
    """One answer to whether one will be cold, and every sleep set that is owned."""
    if page.data is None or not page.data.ahead.nights:
        return Section.empty(COLD, "a night")
    cold, display = page.data.cold, page.display
    answer = []
    if cold.told is not None:
        # How much colder camps were is told with the usual lows.
        answer = [*filter(None, (cold_words.chance(cold, display), say.by_normals_alone(cold)))]
    # What to pack, and the odds with it, stand at the head.
    if barred := cold_words.barred_sentences(cold):
        answer += [*barred[:-1], cold_words.colder_than_known(cold)]
    if too_low := too_low_so_far(page.data.cold_score):
        answer.append(too_low)
    if answer and cold.drawn:
        answer.insert(
            0, "This plan has no list of its own, so this is about what the trips before had."
        )
    if isinstance(cold.outlook, Outlook) and cold.outlook.nights:
        lows = note_words.usual_lows(cold.outlook, cold.camps, display)
        answer.append(f"Usual there and then: {lows}.")
    if not answer and not cold.sets:
        return Section.empty(COLD, "rated sleep gear, or climate normals for the place")
    if not answer:
        answer.append("This is how cold you can sleep in what you own.")
    notes = []
    if isinstance(cold.outlook, Outlook):
        station = cold.outlook.station
        notes.append(sentence(f"normals: {station_words.source_and_place(station, display)}"))
        notes += station_words.normals_in_short(station, display)
    table = sets_table([cold], display)
    if table.rows and (shifted := say.limit_from_rating(cold, display)):
        notes.insert(0, shifted)
    if cold.camps is not None and any(one.chance for one in cold.sets):
        notes.insert(0, note_words.camps_note(cold.camps, display))
    notes += cold_words.lacking_notes(cold.lacking)
    return Section(
        COLD,
        (" ".join(answer),),
        table=table.without_blank() if table.rows else None,
        notes=tuple(notes),
        caution=AHEAD_CARE,
        fold=_SETS if table.rows else "",
    )
